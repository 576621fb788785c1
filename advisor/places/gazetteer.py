"""Towns by name and by position. Data: GeoNames, CC BY 4.0 (docs/places.md)."""

from __future__ import annotations

import re
from array import array
from bisect import bisect_left, bisect_right
from collections.abc import Collection, Iterator
from functools import cache
from math import cos, floor, radians

from advisor.base.record import Record
from advisor.places.distance import distance_km
from advisor.places.fold import fold
from advisor.places.regions import table
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
    reach = within_km / _DEGREE_KM
    narrowest = cos(radians(min(abs(latitude) + reach, 90)))
    east = within_km / (_DEGREE_KM * max(narrowest, 1e-9))
    for degree in range(floor(latitude - reach), floor(latitude + reach) + 1):
        band = _band(degree)
        for at in band.near(longitude, east):
            away = distance_km(latitude, longitude, band.latitudes[at], band.longitudes[at])
            if away <= within_km:
                found.append((away, _line(table("towns"), band.starts[at])))
    return [(away, _town(line)) for away, line in sorted(found)[:count]]


class _Band(Record, frozen=True):
    """The towns of a whole degree of latitude, from west to east. starts: of their lines."""

    longitudes: array[float]
    latitudes: array[float]
    starts: array[int]

    def near(self, longitude: float, east: float) -> Iterator[int]:
        """Those at most so many degrees east or west; on a circle, the short way round."""
        if east >= 180:
            yield from range(len(self.starts))
            return
        for turn in (-360, 0, 360):
            first = bisect_left(self.longitudes, longitude + turn - east)
            yield from range(first, bisect_right(self.longitudes, longitude + turn + east))


@cache
def _band(degree: int) -> _Band:
    """`#41` heads the lines of 41 to 42 degrees. All bands together are a few megabytes."""
    towns, head = table("towns"), f"\n#{degree}\n"
    rows, start = [], towns.find(head)
    if start >= 0:
        at, end = start + len(head), towns.find("\n#", start + 1)
        for line in towns[at:end].splitlines():
            cells = line.split("\t", 4)
            rows.append((float(cells[3]), float(cells[2]), at))
            at += len(line) + 1
    rows.sort()
    return _Band(
        array("d", (row[0] for row in rows)),
        array("d", (row[1] for row in rows)),
        array("q", (row[2] for row in rows)),
    )


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
