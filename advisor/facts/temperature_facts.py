"""Facts of warmth: freezes, degree days in spring, disease weather, and what years share."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

import numpy as np

from advisor.facts.axis import Axis, SeasonDays, Values
from advisor.signals.freeze import FREEZE_THRESHOLDS_C
from advisor.signals.growth import (
    brown_patch_index,
    dollar_spot_probability,
    mean_degree_days,
    room_until,
)

DAYS_OF_A_YEAR = 365


def of_the_years(axis: Axis, column: str, mean: Callable[[Values], float]) -> Values:
    """One number of the coming year over all members, on every day; NaN without past years."""
    values = axis.columns[column][:, axis.today + 1 : axis.today + 1 + DAYS_OF_A_YEAR]
    known = axis.basis == "record" and values.shape[1] == DAYS_OF_A_YEAR
    return np.full(axis.shape, mean(values) if known else np.nan)


FROM_MIDWINTER_DAYS = 56
"""Counted from 15 February, the day from which Michigan State University counts. Further north
nothing comes before it; in the Carolinas warm days of January would close the season early."""
BASE_C = 10.0
"""50 °F: Purdue University Turfgrass Science (200 degree days) and Virginia Tech (70-140)."""


def spring_warmth(air_max: Values, air_min: Values, seasons: Iterable[SeasonDays]) -> Values:
    """°C·d of daily means over 10 °C from 15 February (15 August in the south) to each day before
    midsummer; else 0.

    air_max, air_min: °C, shape (members, days). NaN where the axis begins after the first day.
    """
    warmth = mean_degree_days(air_max, air_min, BASE_C)
    out = np.full(warmth.shape, np.nan)
    for season in seasons:
        start = season.midwinter + FROM_MIDWINTER_DAYS
        out[:, slice(max(season.midsummer, 0), max(start, 0))] = 0.0
        if start >= 0:
            part = slice(start, max(season.next_midsummer, 0))
            out[:, part] = np.cumsum(warmth[:, part], axis=1)
    return out


LOOK_BACK_DAYS = 3
"""Brown patch shows days after its night: the highest index of so many days counts (chosen)."""


def mean_humidity(columns: Mapping[str, Values]) -> Values:
    """Mean relative humidity of each day, %, or the middle of its extremes; NaN if unknown."""
    air = columns["air_max_c"]
    unknown = np.full(air.shape, np.nan)
    low = columns.get("humidity_min_pct", unknown)
    high = columns.get("humidity_max_pct", unknown)
    mean = columns.get("humidity_pct", unknown)
    return np.where(np.isnan(mean), (low + high) / 2.0, mean)


def dollar_spot_risk(columns: Mapping[str, Values]) -> Values:
    """Probability of active dollar spot, 0 to 1, from the middle of the daily extremes."""
    middle = (columns["air_max_c"] + columns["air_min_c"]) / 2.0
    return dollar_spot_probability(middle, mean_humidity(columns))


def brown_patch_highest(columns: Mapping[str, Values]) -> Values:
    """Highest brown patch index of the last `LOOK_BACK_DAYS` days; NaN unless all are known."""
    index = brown_patch_index(columns["air_min_c"], mean_humidity(columns))
    out = index.copy()
    for back in range(1, LOOK_BACK_DAYS):
        earlier = np.full(index.shape, np.nan)
        earlier[..., back:] = index[..., :-back]
        out = np.maximum(out, earlier)
    return out


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
