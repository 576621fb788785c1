"""The towns' time zones against the zone boundaries of the package `tzfpy` (not a dependency).

    pip install tzfpy; python docs/validation/time_zones.py

Counts the towns that keep another time on the first of January, April, July or October 2026.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from functools import cache
from zoneinfo import ZoneInfo

import tzfpy

from advisor.places.regions import table

DAYS = [dt.datetime(2026, month, 1, 12, tzinfo=dt.UTC) for month in (1, 4, 7, 10)]


@cache
def offsets(zone: str) -> tuple[dt.timedelta | None, ...]:
    """Ahead of UTC on each of the days."""
    return tuple(day.astimezone(ZoneInfo(zone)).utcoffset() for day in DAYS)


def main() -> None:
    towns = [line.split("\t") for line in table("towns").splitlines() if line[:1] == "|"]
    other: Counter[str] = Counter()
    unknown = 0
    for cells in towns:
        zone = tzfpy.get_tz(float(cells[3]), float(cells[2]))
        if not zone:
            unknown += 1
        elif offsets(zone) != offsets(cells[5]):
            other[cells[6]] += 1
    print(f"{len(towns):,} towns, {unknown} without a boundary; another time: {other.total()}")
    for country, count in other.most_common():
        print(f"{country} {count}")


if __name__ == "__main__":
    main()
