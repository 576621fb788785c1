"""First and last freezes of a season, the chance of one by a date, and frozen ground.

A season is one row of days. A season in which the temperature never came is *censored*: it counts
as a season without a freeze, it is not missing. A chance here is always that of the date having
come: 10 % in autumn means one year in ten freezes by then. NOAA's spring tables print the other
side, the chance of a freeze later than the date; take 1 - chance for them.

Frozen ground is meant for "may I work or spread today?", not for depth of frost. A look at the lawn
beats both.
"""

from __future__ import annotations

from statistics import NormalDist
from typing import Literal

import numpy as np
import numpy.typing as npt

from advisor.base.record import Record
from advisor.signals.running import FloatArray

FREEZE_THRESHOLDS_C: dict[str, float] = {
    "frost": 20.0 / 9.0,
    "freeze": 0.0,
    "hard_freeze": -20.0 / 9.0,
}
"""36, 32 and 28 °F at shelter height. U.S. National Weather Service: frost advisory 33-36, freeze
warning 29-32, hard freeze 28 °F or below; the criteria vary by office."""

MAX_MISSING_DAYS = 10
"""Chosen: a season with more unknown days before its first freeze is not used."""

Method = Literal["none", "rough", "normal", "empirical"]


def first_freeze(
    air_min_c: npt.ArrayLike, threshold_c: float, *, max_missing: int = MAX_MISSING_DAYS
) -> FloatArray:
    """Index of the first day with Tmin <= threshold in each season; (seasons, days) -> (seasons,).

    Give the part of the season to search (autumn: 1 August to 31 December in the north). inf for a
    season without one, NaN where more than `max_missing` days before it are unknown.
    """
    low = np.asarray(air_min_c, dtype=np.float64)
    days = low.shape[-1]
    cold = low <= threshold_c
    seen = cold.any(axis=-1)
    first = np.where(seen, np.argmax(cold, axis=-1), days)
    before = np.arange(days) < first[..., np.newaxis]
    missing = (np.isnan(low) & before).sum(axis=-1)
    date = np.where(seen, first.astype(np.float64), np.inf)
    return np.where(missing > max_missing, np.nan, date)


def last_freeze(
    air_min_c: npt.ArrayLike, threshold_c: float, *, max_missing: int = MAX_MISSING_DAYS
) -> FloatArray:
    """Index of the last day with Tmin <= threshold in each season (spring: 1 January to 30 June).

    -inf for a season without one; NaN where more than `max_missing` days after it are unknown.
    """
    low = np.asarray(air_min_c, dtype=np.float64)
    from_end = first_freeze(low[..., ::-1], threshold_c, max_missing=max_missing)
    last = np.asarray(low.shape[-1] - 1 - from_end, dtype=np.float64)
    return last


def longest_frost_free_run(air_min_c: npt.ArrayLike, threshold_c: float = 0.0) -> FloatArray:
    """Growing days: the longest run of days with Tmin above the threshold; (..., days) -> (...).

    Definition: Midwestern Regional Climate Center, growing season (give it a calendar year in the
    north). An unknown day ends a run, so a gap can only shorten it; NaN if every day is unknown.
    """
    low = np.asarray(air_min_c, dtype=np.float64)
    index = np.arange(1, low.shape[-1] + 1, dtype=np.float64)
    ended = np.maximum.accumulate(np.where(low > threshold_c, 0.0, index), axis=-1)
    longest = (index - ended).max(axis=-1)
    return np.where(np.isnan(low).all(axis=-1), np.nan, longest)


class FreezeDates(Record, frozen=True):
    """Dates by chance, as fractional day indices; inf (spring: -inf) where no freeze is as likely.

    `quantiles` and `intervals` are in the order of the chances asked for; `intervals` (90 %
    bootstrap) only for the empirical method. `seasons` were usable, `without` of them froze never.
    """

    quantiles: tuple[float, ...]
    intervals: tuple[tuple[float, float], ...] | None
    method: Method
    seasons: int
    without: int


def freeze_dates(
    dates: npt.ArrayLike,
    chances: tuple[float, ...] = (0.1, 0.5, 0.9),
    *,
    bootstraps: int = 1000,
    seed: int = 1,
) -> FreezeDates:
    """Day index by which the freeze has come with each chance, from one date a season.

    Mixed distribution (as NOAA NCEI's freeze tables): chance of a freeze at all times chance of the
    date. Under 3 dated seasons nothing is said ("none"); under 10 a normal fit, "rough"; 10 to 19
    "normal"; from 20 on "empirical", linear between order statistics (type 7), with a bootstrap
    interval. Why: resampling 37 and 31 years of two places, the 10 % date of a normal fit was 3.8 d
    off with 10 years against 3.3-4.7 d empirical (derived). ValueError for a chance outside (0, 1).
    """
    if any(not 0.0 < c < 1.0 for c in chances):
        raise ValueError(f"chances must lie between 0 and 1, not {chances}")
    values = np.asarray(dates, dtype=np.float64).ravel()
    values = values[~np.isnan(values)]
    total = values.size
    dated = int(np.isfinite(values).sum())
    method: Method = "empirical"
    if dated < 3:
        method = "none"
    elif dated < 10:
        method = "rough"
    elif dated < 20:
        method = "normal"
    rows = np.sort(values)[np.newaxis]
    if method == "none":
        quantiles = tuple(float("nan") for _ in chances)
    elif method == "empirical":
        quantiles = tuple(float(_empirical_quantile(rows, c)[0]) for c in chances)
    else:
        quantiles = tuple(_normal_quantile(values, c) for c in chances)
    intervals = None
    if method == "empirical":
        generator = np.random.default_rng(seed)
        drawn = np.sort(generator.choice(values, size=(bootstraps, total)), axis=-1)
        spread = [_empirical_quantile(drawn, c) for c in chances]
        ends = [np.quantile(s, [0.05, 0.95], method="nearest") for s in spread]
        intervals = tuple((float(low), float(high)) for low, high in ends)
    return FreezeDates(quantiles, intervals, method, total, total - dated)


def _inner_chance(never_before: FloatArray, share: FloatArray, chance: float) -> FloatArray:
    """Chance within the dated seasons; outside 0..1 where the date falls on a season without."""
    return (chance - never_before) / np.maximum(share, 1e-12)


def _empirical_quantile(rows: FloatArray, chance: float) -> FloatArray:
    """Type 7 quantile of each sorted row, whose ends may hold -inf or inf for "no freeze"."""
    total = rows.shape[-1]
    early = (rows == -np.inf).sum(axis=-1).astype(np.float64)
    dated = np.isfinite(rows).sum(axis=-1).astype(np.float64)
    inner = _inner_chance(early / total, dated / total, chance)
    place = early + np.clip(inner, 0.0, 1.0) * np.maximum(dated - 1.0, 0.0)
    below = np.floor(place).astype(np.int64)
    above = np.minimum(below + 1, np.maximum(early + dated - 1.0, below).astype(np.int64))
    low = np.take_along_axis(rows, below[:, np.newaxis], axis=-1)[:, 0]
    high = np.take_along_axis(rows, above[:, np.newaxis], axis=-1)[:, 0]
    part = place - below
    date = np.where(part == 0.0, low, low * (1.0 - part) + high * part)
    date = np.where(inner <= 0.0, np.where(early > 0, -np.inf, date), date)
    return np.where((inner >= 1.0) & (early + dated < total), np.inf, date)


def _normal_quantile(values: FloatArray, chance: float) -> float:
    """Quantile of a normal fitted to the dated seasons, with the same mixing."""
    finite = values[np.isfinite(values)]
    early, share = np.mean(values == -np.inf), np.asarray(finite.size / values.size)
    inner = float(_inner_chance(np.asarray(early), share, chance))
    if inner <= 0.0:
        return float("-inf")
    if inner >= 1.0:
        return float("inf")
    mean, spread = float(np.mean(finite)), float(np.std(finite, ddof=1))
    return mean if spread == 0.0 else NormalDist(mean, spread).inv_cdf(inner)


SNOW_BELOW_C = 1.0
"""Daily mean air temperature at or below which precipitation is taken as snow. From memory: the
usual range of such limits is 0 to 2 °C."""
MELT_MM_PER_C_DAY = 2.74
"""Degree-day melt, mm/°C a day. From memory: USDA-NRCS National Engineering Handbook, part 630,
chapter 11, gives 1.6 to 6.0 and 2.74 where nothing better is known."""
DEEPEST_SNOW_MM = 200.0
"""Chosen: more snow water than a lawn in the places this is meant for is likely to carry."""


def frozen_ground(soil_c: npt.ArrayLike) -> FloatArray:
    """1 where the soil is at or below 0 °C, 0 where above, NaN where unknown; shape kept.

    Give it the modelled or measured temperature at 5 cm. The modelled sign is a caution, not a
    measurement: it saw 86 % of the station-days with frozen ground, and on 58 % of the days it
    named the ground was frozen (derived: 21 stations, 2020; docs/validation/soil_temperature.md).
    """
    soil = np.asarray(soil_c, dtype=np.float64)
    return np.where(np.isnan(soil), np.nan, (soil <= 0.0).astype(np.float64))


def snow_water(mean_air_c: npt.ArrayLike, precipitation_mm: npt.ArrayLike) -> FloatArray:
    """Water in lying snow at each day's end, mm, by the temperature-index method; (..., days).

    Snow falls at a mean of SNOW_BELOW_C or less and melts by MELT_MM_PER_C_DAY for each °C above 0.
    Starts bare. A day of unknown temperature, or of unknown precipitation while cold, leaves the
    pack somewhere in 0..DEEPEST_SNOW_MM: NaN until enough warmth since has melted all of that.
    """
    air, rain = np.broadcast_arrays(
        np.asarray(mean_air_c, dtype=np.float64), np.asarray(precipitation_mm, dtype=np.float64)
    )
    change = np.where(air <= SNOW_BELOW_C, rain, 0.0) - MELT_MM_PER_C_DAY * np.maximum(air, 0.0)
    unknown = np.isnan(change)
    gap_on_day = unknown.any(axis=tuple(range(air.ndim - 1)))
    by_day = np.moveaxis(np.where(unknown, 0.0, change), -1, 0)
    bounds = np.zeros((air.shape[-1], 2, *air.shape[:-1]))  # lowest and highest pack
    pack = np.zeros((2, *air.shape[:-1]))
    for day, step in enumerate(by_day):
        pack = np.maximum(pack + step, 0.0, out=bounds[day])
        if gap_on_day[day]:
            gap = unknown[..., day]
            pack[0] = np.where(gap, 0.0, pack[0])
            pack[1] = np.where(gap, DEEPEST_SNOW_MM, pack[1])
    low, high = (np.moveaxis(bounds[:, side], 0, -1) for side in (0, 1))
    return np.where(high - low < 0.5, (high + low) / 2.0, np.nan)
