"""Towns by name and by position. Data: GeoNames, CC BY 4.0 (docs/places.md)."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator
from math import cos, floor, radians

from advisor.places.distance import distance_km
from advisor.places.fold import fold
from advisor.places.packed import table
from advisor.places.town import Town

# A little less than a degree of latitude is long anywhere.
_DEGREE_KM = 110.5


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


def nearest_towns(
    latitude: float, longitude: float, within_km: float, count: int = 1
) -> list[tuple[float, Town]]:
    """The nearest towns within a distance, and how far away they are, km; the nearest first."""
    found = []
    narrowest = cos(radians(min(abs(latitude) + within_km / _DEGREE_KM, 90)))
    east = within_km / (_DEGREE_KM * max(narrowest, 1e-9))
    for line in _lines_near(latitude, within_km):
        cells = line.split("\t", 4)
        # Most lines of a band lie far east or west; on a circle, the short way round.
        if 180 - abs(abs(float(cells[3]) - longitude) - 180) > east:
            continue
        away = distance_km(latitude, longitude, float(cells[2]), float(cells[3]))
        if away <= within_km:
            found.append((away, line))
    return [(away, _town(line)) for away, line in sorted(found)[:count]]


def _lines_near(latitude: float, within_km: float) -> Iterator[str]:
    """The lines of the whole degrees of latitude that a circle touches; `#41` heads 41 to 42."""
    towns, reach = table("towns"), within_km / _DEGREE_KM
    for degree in range(floor(latitude - reach), floor(latitude + reach) + 1):
        head = f"\n#{degree}\n"
        start = towns.find(head)
        if start >= 0:
            yield from towns[start + len(head) : towns.find("\n#", start + 1)].splitlines()


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
