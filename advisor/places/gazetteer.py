"""Towns by name and by position. Data: GeoNames, CC BY 4.0 (docs/places.md)."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from math import cos, floor, radians

from advisor.places.distance import distance_km
from advisor.places.fold import fold
from advisor.places.packed import table
from advisor.places.town import Town

# Half widths, in degrees, of the windows searched one after another.
_WINDOWS = (1, 4, 15)


def towns_named(name: str) -> list[Town]:
    """Every town of that name, or of that other name, largest first. Case and accents: ignored."""
    key, towns = fold(name), table("towns")
    if not key:
        return []
    found, at = [], towns.find(f"|{key}|")
    while at >= 0:
        found.append(_town(_line(towns, at)))
        at = towns.find(f"|{key}|", at + 1)
    return sorted(found, key=lambda town: -town.population)


def names_like(name: str, countries: Collection[str] = ()) -> list[str]:
    """Names of towns with the same first letter and about the same length, to guess from.

    countries: codes of those to look in; all, if empty.
    """
    key, towns = fold(name), table("towns")
    if not key:
        return []
    low, high = max(len(key) - 3, 0), len(key) + 1
    starts = re.compile(rf"\n\|({re.escape(key[0])}[^|\n]{{{low},{high}}})\|")
    return sorted(
        {
            found[1].title()
            for found in starts.finditer(towns)
            if not countries or _line(towns, found.end()).split("\t")[6] in countries
        }
    )


def nearest_towns(latitude: float, longitude: float, count: int = 1) -> list[tuple[float, Town]]:
    """The nearest towns and how far away they are, km; the nearest first.

    Looks no farther than about 15 degrees; the list may be shorter than `count`, or empty.
    """
    found: list[tuple[float, Town]] = []
    for width in _WINDOWS:
        lines = _window(latitude, longitude, width)
        towns = [_town(line) for line in lines]
        found = sorted(
            ((distance_km(latitude, longitude, t.latitude, t.longitude), t) for t in towns),
            key=lambda pair: pair[0],
        )
        # Beyond this radius a nearer town may lie outside the window.
        radius = 111.0 * width * max(cos(radians(min(abs(latitude) + width, 90))), 0.0)
        if len(found) >= count and found[count - 1][0] <= radius:
            break
    return found[:count]


def _window(latitude: float, longitude: float, width: int) -> Iterator[str]:
    """The lines whose whole degrees lie in the window; east and west of 180 degrees alike."""
    north, east = (
        "|".join({_digits(turned(floor(value) + n)) for n in range(-width, width + 1)})
        for value, turned in ((latitude, int), (longitude, _turned))
    )
    towns = table("towns")
    for spot in re.finditer(rf"\t(?:{north})\.\d+\t(?:{east})\.\d+\t", towns):
        yield _line(towns, spot.start())


def _digits(whole: int) -> str:
    """How numbers from `whole` up to the next begin when written: `-0` for those from -1 to 0."""
    return f"-{-whole - 1}" if whole < 0 else f"{whole}"


def _turned(degrees: int) -> int:
    return (degrees + 180) % 360 - 180


def _line(text: str, at: int) -> str:
    return text[text.rfind("\n", 0, at) + 1 : text.find("\n", at)]


def _town(line: str) -> Town:
    keys, name, latitude, longitude, high, zone, country, region, people = line.split("\t")
    return Town(
        name or keys[1:].partition("|")[0].title(),
        float(latitude),
        float(longitude),
        float(high) if high else None,
        zone,
        country,
        region,
        int(people),
    )
