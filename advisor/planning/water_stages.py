"""What water wants on each day: new seed by its age, grown turf by what its root zone lacks."""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.base.record import Record

FIRST_SOAK_MM = 12.7
"""½ in: 30 to 45 minutes of first soaking are common practice, passed on without a depth."""
SHORT_TURNS = 3
"""Common practice: three short waterings a day; Iowa State: two, three or four in sun and wind."""
SHORT_DAYS = 14
"""Common practice: about two weeks; Iowa State: two to three weeks until most seed is up."""
ONCE_DAYS = 21
SEED_DAYS = 30
"""A month: bluegrass can take that long (Illinois). The steps between are chosen."""
COOL_HIGH_C = 18.3
"""65 °F, from memory: Kansas waters new seed only every couple of days when it is cool."""
WET_SOIL_KC = 1.1
"""Bare wet soil against reference ET (from memory of FAO-56, 1.0 to 1.2)."""
LEAST_TURN_MM = 1.0
"""Less than this a can or a controller does not measure (chosen)."""
DRY_SHARE = 0.5
"""Grown turf is watered when half the root zone's water is gone (Nebraska; the watering rule)."""


class Weather(Record, frozen=True):
    """A day to come: reference ET and rain, mm; afternoon high, °C. rain is 0 unless forecast."""

    et: float
    rain: float
    high_c: float


class Wanted(Record, frozen=True):
    """turns: net depth of each turn of the day, mm, in order; none: no water. why: in words."""

    turns: tuple[float, ...]
    why: str
    fresh: bool = False
    """The first soaking, which has to wait for the sowing itself."""


def seed_day(age: int, weather: Weather, every_second: bool) -> Wanted:
    """A day of new seed, `age` days after sowing. every_second: it is one of alternate days."""
    use = weather.et * WET_SOIL_KC
    lacks = max(0.0, use - weather.rain)
    if age == 0:
        if weather.rain >= FIRST_SOAK_MM:
            return Wanted((), "rain does the first soaking")
        depth = FIRST_SOAK_MM - weather.rain
        return Wanted((depth,), "the first soaking, as soon as the seed is down", fresh=True)
    if weather.rain >= use:
        return Wanted((), "rain is enough")
    if age < SHORT_DAYS:
        if weather.high_c < COOL_HIGH_C:
            return Wanted(_turns(lacks, 1), "a cool day: one light turn")
        return Wanted(_turns(lacks, SHORT_TURNS), "short turns keep the top inch moist")
    if age < ONCE_DAYS:
        return Wanted(_turns(lacks, 1), "coming up: one longer turn a day")
    if not every_second:
        return Wanted((), "a day of rest, so that roots go down")
    return Wanted(_turns(2 * use - weather.rain, 1), "every second day, deeper")


def _turns(depth: float, most: int) -> tuple[float, ...]:
    """The depth in equal turns, fewer where each would be too little to measure."""
    count = min(most, int(depth / LEAST_TURN_MM))
    if count == 0:
        return (LEAST_TURN_MM,) if depth > 0 else ()
    return (depth / count,) * count


def turf_days(
    deficit: float | None,
    holds: float,
    kc: float,
    days: Sequence[Weather],
    most: float = math.inf,
) -> tuple[Wanted, ...]:
    """Grown turf: refill the root zone on the day on which half of its water is gone.

    deficit: what it lacks on the first morning, mm; None: unknown, taken as due on the first day
    if the grass says so. holds: available water of the full root zone, mm. kc: turf over reference
    ET. most: depth that one morning has room for; the rest waits until it is due again. Rain to
    come counts off first.
    """
    limit = DRY_SHARE * holds
    lacks = limit if deficit is None else deficit
    out = []
    for number, day in enumerate(days):
        if lacks >= limit and lacks - day.rain > 0:
            depth = min(lacks - day.rain, most)
            why = f"{lacks / holds:.0%} of the root zone's water is gone"
            if deficit is None and number == 0:
                why = "only if footprints stay: what the soil lacks is not known"
            out.append(Wanted((depth,), why))
            lacks -= day.rain + depth
        else:
            out.append(Wanted((), "the soil still holds enough"))
            lacks = max(0.0, lacks - day.rain)
        lacks = min(holds, lacks + kc * day.et)
    return tuple(out)
