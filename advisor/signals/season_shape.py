"""Where a season stands, and what a place's years have in common.

`mean_hot_days` and `mean_lowest` are means over members, one number for the place. Units: °C, days.

Temperatures near the 72 °F soil limit wobble for weeks, so one crossing says little; these are
several signs of the same turn. Arrays (..., days) begin `start` days before the season year
(21 June north, 21 December south), so that trailing windows are full on its first day.
"""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from advisor.base.record import Record
from advisor.signals.running import FloatArray, trailing_mean

HOT_DAY_C = 32.2
"""90 °F, the temperature of the hot days that climate summaries count."""


def mean_lowest(air_min: npt.ArrayLike) -> float:
    """Mean over members of the lowest daily minimum of (members, days), °C.

    The mean annual extreme minimum, by which the USDA Plant Hardiness Zone Map (2023) sets its
    zones of 10 °F. NaN where fewer than half of the members are complete.
    """
    return _mean_of_years(np.min(np.asarray(air_min, dtype=np.float64), axis=1))


def mean_hot_days(air_max: npt.ArrayLike, limit_c: float = HOT_DAY_C) -> float:
    """Mean over members of the number of days at or over a limit, of (members, days)."""
    high = np.asarray(air_max, dtype=np.float64)
    counts = np.where(np.isnan(high).any(axis=1), np.nan, (high >= limit_c - 1e-9).sum(axis=1))
    return _mean_of_years(counts)


def _mean_of_years(years: npt.NDArray[np.float64]) -> float:
    known = years[~np.isnan(years)]
    return float(known.mean()) if len(known) * 2 > len(years) else float("nan")


PEAK_WINDOW_DAYS = 30
"""Chosen: long enough to average over single hot spells, short against a season."""
TREND_DAYS = 7


class WarmPeak(Record, frozen=True):
    """Signs on each day, each of the input's shape, NaN where unknown or before `start`."""

    trailing_c: FloatArray
    """Mean of the last PEAK_WINDOW_DAYS, of which a tenth may be unknown."""
    peak_c: FloatArray
    """Highest trailing mean of the season year so far."""
    below_peak_c: FloatArray
    """How far the trailing mean has come down from it, >= 0."""
    days_since_peak: FloatArray
    falling: FloatArray
    """1 where the trailing mean is under that of TREND_DAYS before, else 0."""


def past_warm_peak(
    mean_c: npt.ArrayLike, *, start: int = 0, window: int = PEAK_WINDOW_DAYS
) -> WarmPeak:
    """Signs that the year's warmest stretch is over, from daily mean air or soil temperature, °C.

    Uses no day after the one it speaks of. Works on night lows as well. A window with more than a
    tenth of its days unknown is unknown, and so is the peak from then on: it may have hidden there.
    ValueError for a start outside the array.
    """
    data = np.asarray(mean_c, dtype=np.float64)
    days = data.shape[-1]
    if not 0 <= start < max(days, 1):
        raise ValueError(f"start {start} lies outside the {days} days")
    trailing = trailing_mean(data, window, min_known=max(1, math.ceil(0.9 * window)))
    first = max(start, window - 1)
    peak = np.full(data.shape, np.nan)
    since = np.full(data.shape, np.nan)
    if first < days:
        season = trailing[..., first:]
        # np.maximum carries NaN forward, as promised.
        top = np.maximum.accumulate(season, axis=-1)
        index = np.arange(days - first, dtype=np.float64)
        at = np.maximum.accumulate(np.where(season == top, index, 0.0), axis=-1)
        peak[..., first:] = top
        since[..., first:] = np.where(np.isnan(top), np.nan, index - at)
    below = peak - trailing
    falling = np.full(data.shape, np.nan)
    if days > TREND_DAYS:
        change = trailing[..., TREND_DAYS:] - trailing[..., :-TREND_DAYS]
        down = np.where(np.isnan(change), np.nan, (change < 0.0).astype(np.float64))
        falling[..., TREND_DAYS:] = down
    falling[..., :start] = np.nan
    trailing = trailing.copy()
    trailing[..., :start] = np.nan
    return WarmPeak(trailing, peak, below, since, falling)
