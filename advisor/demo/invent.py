"""Invented daily weather: a yearly curve, days that remember the day before, and showers.

The climate is made up to look like the south shore of a cool inland lake. It is nobody's record;
the file says so in its first line. Only the standard library's generator is used, whose sequence
for a seed is promised not to change.
"""

from __future__ import annotations

import datetime as dt
import math
import random
from collections.abc import Iterator
from dataclasses import dataclass

SEED = 20260905
_DAYS = 365.2425


@dataclass(frozen=True)
class InventedDay:
    """°C and mm."""

    date: dt.date
    air_max_c: float
    air_min_c: float
    rain_mm: float


def invented_days(first: dt.date, last: dt.date, seed: int = SEED) -> Iterator[InventedDay]:
    """One day after the other, always the same for the same seed."""
    dice = random.Random(seed)
    departure, wet = 0.0, False
    for number in range((last - first).days + 1):
        day = first + dt.timedelta(days=number)
        # Warmest about 24 July: 0 at the coldest point of the year, 1 at the warmest.
        turn = 2 * math.pi * (day.timetuple().tm_yday - 205) / _DAYS
        summer = (1 + math.cos(turn)) / 2
        wet = dice.random() < (0.55 if wet else 0.27)
        departure = 0.72 * departure + dice.gauss(0.0, 3.4 - 1.6 * summer)
        mean = -2.8 + 25.4 * summer + departure
        spread = (6.0 + 5.4 * summer) * (0.72 if wet else 1.08) * dice.uniform(0.8, 1.2)
        rain = dice.gammavariate(0.75, 9.6) if wet else 0.0
        yield InventedDay(
            day, round(mean + spread / 2, 1), round(mean - spread / 2, 1), round(rain, 1)
        )
