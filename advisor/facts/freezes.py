"""Freezes on an axis of days: how cold a night must be, and the warmth left before the first."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from advisor.facts.axis import Axis, Values
from advisor.facts.season_days import SeasonDays
from advisor.signals.degree_days import room_until
from advisor.signals.freeze import FREEZE_THRESHOLDS_C

NORMALS_SPREAD_C = 7.0
"""Monthly normals know no cold nights. On the median day of the first hard freeze the mean daily
minimum stands 4.5 to 6.9 °C above 28 °F (derived: Nebraska, Norfolk UK, Iowa, South Carolina;
tests/facts/test_hard_freeze.py). The most of them: pipes do not mind an early warning."""
FROST_ROOM_BASE_C = 5.0
"""Base of the growing warmth of the air that seeded bermudagrass and zoysia need before the first
frost: Patton et al. 2004, Crop Science, doi 10.2135/cropsci2004.2160."""


def freeze_limit(axis: Axis, kind: str) -> Values:
    """What the daily minimum must come down to for a freeze of that kind, on each day; (days,)."""
    limit = np.full(axis.shape[-1], FREEZE_THRESHOLDS_C[kind])
    if axis.basis == "normals":
        limit[axis.observed :] += NORMALS_SPREAD_C
    return limit


def warmth_before_frost(
    axis: Axis, seasons: Iterable[SeasonDays], mean_c: Values, low_c: Values
) -> Values:
    """Degree days (base 5 °C, air) to the next autumn's first freeze, at most to midwinter.

    mean_c, low_c: daily mean and minimum, (members, days). 0 from the freeze to midwinter; NaN for
    days whose midwinter lies off the axis.
    """
    warmth = np.maximum(mean_c - FROST_ROOM_BASE_C, 0.0)
    cold = low_c <= freeze_limit(axis, "freeze")
    out = np.full(axis.shape, np.nan)
    for season in seasons:
        if not 0 < season.midwinter <= warmth.shape[1]:
            continue
        first = max(season.midsummer, 0)
        autumn = cold[:, first : season.midwinter]
        frost = np.where(autumn.any(axis=1), first + autumn.argmax(axis=1), season.midwinter)
        part = slice(max(2 * season.midsummer - season.midwinter, 0), season.midwinter)
        out[:, part] = room_until(warmth[:, part], frost - part.start)
    return out
