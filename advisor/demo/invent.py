"""Invented daily weather: a yearly curve, days that remember the day before, and showers.

The climates are made up: the usual one to look like the south shore of a cool inland lake. They are
nobody's records; the files say so in their first line. Only the standard library's generator is
used, whose sequence for a seed is promised not to change.
"""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Iterator

from advisor.base.record import Record

SEED = 20260905
_DAYS = 365.2425


class InventedDay(Record, frozen=True):
    """°C and mm."""

    date: dt.date
    air_max_c: float
    air_min_c: float
    rain_mm: float


class Climate(Record, frozen=True):
    """An invented climate.

    coldest_c, range_c: the mean of the coldest days, and by how much the warmest are warmer.
    warmest_day: of the year. unrest: how far days depart from the curve, 1 for the lake's.
    wet, stays_wet: the chance of rain after a dry and after a wet day. shower_mm: how much it rains
    on a wet day, by and large.
    """

    coldest_c: float = -2.8
    range_c: float = 25.4
    warmest_day: int = 205
    unrest: float = 1.0
    wet: float = 0.27
    stays_wet: float = 0.55
    shower_mm: float = 9.6


LAKE = Climate()


def invented_days(
    first: dt.date, last: dt.date, seed: int = SEED, climate: Climate = LAKE
) -> Iterator[InventedDay]:
    """One day after the other, always the same for the same seed and climate."""
    dice = random.Random(seed)
    departure, wet = 0.0, False
    for number in range((last - first).days + 1):
        day = first + dt.timedelta(days=number)
        # 0 at the coldest point of the year, 1 at the warmest (the lake's is about 24 July).
        turn = 2 * math.pi * (day.timetuple().tm_yday - climate.warmest_day) / _DAYS
        summer = (1 + math.cos(turn)) / 2
        wet = dice.random() < (climate.stays_wet if wet else climate.wet)
        departure = 0.72 * departure + dice.gauss(0.0, (3.4 - 1.6 * summer) * climate.unrest)
        mean = climate.coldest_c + climate.range_c * summer + departure
        spread = (6.0 + 5.4 * summer) * (0.72 if wet else 1.08) * dice.uniform(0.8, 1.2)
        rain = dice.gammavariate(0.75, climate.shower_mm) if wet else 0.0
        yield InventedDay(
            day, round(mean + spread / 2, 1), round(mean - spread / 2, 1), round(rain, 1)
        )
