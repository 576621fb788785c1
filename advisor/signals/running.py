"""Along the days axis: running windows and means, days to the next event, dry and wet spells."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
from numpy.typing import NDArray


def quantiles(values: NDArray[Any], shares: Sequence[float]) -> tuple[float, ...]:
    """The points of one or more numbers below which such shares (0 to 1) of them lie.

    Between order statistics (Hyndman and Fan 1996, type 7), as `numpy.quantile` has it.
    """
    ordered = np.sort(values)
    at = np.multiply(shares, len(ordered) - 1)
    return tuple(np.interp(at, np.arange(len(ordered)), ordered).tolist())


def median(values: NDArray[Any]) -> float:
    """The middle of one or more numbers."""
    return quantiles(values, (0.5,))[0]


FloatArray = npt.NDArray[np.float64]


def _window_sums(values: FloatArray, window: int) -> tuple[FloatArray, FloatArray]:
    """Sum and number of the known values in each window of `window` days, shape (..., n+1-w)."""
    known = ~np.isnan(values)
    pad = [(0, 0)] * (values.ndim - 1) + [(1, 0)]
    sums = np.pad(np.cumsum(np.where(known, values, 0.0), axis=-1), pad)
    counts = np.pad(np.cumsum(known, axis=-1), pad).astype(np.float64)
    return (
        sums[..., window:] - sums[..., :-window],
        counts[..., window:] - counts[..., :-window],
    )


def _checked(values: npt.ArrayLike, window: int, min_known: int | None) -> tuple[FloatArray, int]:
    if window < 1:
        raise ValueError(f"window must be at least 1 day, not {window}")
    needed = window if min_known is None else min_known
    if not 1 <= needed <= window:
        raise ValueError(f"min_known must lie in 1..{window}, not {needed}")
    return np.asarray(values, dtype=np.float64), needed


def trailing_mean(
    values: npt.ArrayLike, window: int, *, min_known: int | None = None
) -> FloatArray:
    """Mean of the `window` days that end on each day.

    Shape in = shape out, (..., days). A day is NaN where fewer than `min_known` (default: all) of
    its window are known; the first window - 1 days are always NaN. ValueError for a bad window.
    """
    data, needed = _checked(values, window, min_known)
    out = np.full(data.shape, np.nan)
    if data.shape[-1] >= window:
        sums, counts = _window_sums(data, window)
        enough = counts >= needed
        out[..., window - 1 :] = np.where(enough, sums / np.maximum(counts, 1.0), np.nan)
    return out


def trailing_sum(values: npt.ArrayLike, window: int) -> FloatArray:
    """Sum over the `window` days that end on each day; NaN unless all are known. (..., days)."""
    return trailing_mean(values, window) * window


def leading_sum(values: npt.ArrayLike, window: int) -> FloatArray:
    """Sum over the `window` days that start on each day; NaN unless all are known. (..., days)."""
    data, _ = _checked(values, window, None)
    return trailing_sum(data[..., ::-1], window)[..., ::-1]


def exponential_mean(values: npt.ArrayLike, share: float) -> tuple[FloatArray, FloatArray]:
    """Exponentially weighted mean E(t) = E(t-1) + share * (x(t) - E(t-1)), normalised for gaps.

    Returns (mean, known weight), both (..., days). The known weight is the part, 0..1, of the
    filter's total weight that falls on known days: it grows as 1 - (1 - share)^t from the start
    and drops by `share` on a day without a value. The mean is NaN only where nothing is known yet:
    the caller decides how much known weight is enough. `share` = 1 - exp(-1/tau) for a first-order
    lag (Newton cooling) of tau days. ValueError unless 0 < share <= 1.
    """
    if not 0.0 < share <= 1.0:
        raise ValueError(f"share must lie in (0, 1], not {share}")
    data = np.asarray(values, dtype=np.float64)
    known = (~np.isnan(data)).astype(np.float64)
    filled = np.where(known > 0.0, data, 0.0)
    mean, weight = _decayed_sums(filled * share, share), _decayed_sums(known * share, share)
    return np.divide(mean, weight, out=np.full(mean.shape, np.nan), where=weight > 0.0), weight


def _decayed_sums(values: FloatArray, share: float) -> FloatArray:
    """y(t) = x(t) + (1 - share) y(t-1), in blocks of days: one matrix product within all of them,
    then a carry from block to block, so that a long record costs few Python steps."""
    days, block = values.shape[-1], 64
    blocks = -(-days // block)
    pad = [(0, 0)] * (values.ndim - 1) + [(0, blocks * block - days)]
    shaped = np.pad(values, pad).reshape((*values.shape[:-1], blocks, block))
    lag = np.arange(block)[:, np.newaxis] - np.arange(block)
    decay = np.where(lag >= 0, (1.0 - share) ** np.maximum(lag, 0), 0.0)
    out = shaped @ decay.T
    fade = (1.0 - share) ** np.arange(1, block + 1)
    for k in range(1, blocks):
        out[..., k, :] += fade * out[..., k - 1, -1:]
    return out.reshape((*values.shape[:-1], blocks * block))[..., :days].copy()


def days_until(event: npt.ArrayLike, search_days: int) -> FloatArray:
    """Days from each day to the next day with the event, at most `search_days`; (..., days).

    `event` is 1, 0 or NaN (unknown). 0 on a day with the event; `search_days` means that many or
    more. NaN where an unknown day comes before the event and within the search.
    """
    happens = np.asarray(event, dtype=np.float64)
    days = np.arange(happens.shape[-1])
    next_event = _next(happens == 1.0, days)
    next_unknown = _next(np.isnan(happens), days)
    # So many days are known to pass without the event.
    clear = np.minimum(np.minimum(next_event, next_unknown), days.size) - days
    ahead = np.where(next_event < next_unknown, next_event - days, np.nan)
    return np.where(clear >= search_days, float(search_days), ahead)


def days_since(event: npt.ArrayLike, search_days: int) -> FloatArray:
    """Days from the last day with the event to each day, at most `search_days`; (..., days).

    As `days_until`, backwards: NaN where an unknown day came after the last event, and where the
    array begins too late to tell.
    """
    happens = np.asarray(event, dtype=np.float64)
    return days_until(happens[..., ::-1], search_days)[..., ::-1]


def _next(happens: npt.NDArray[np.bool_], days: npt.NDArray[np.int_]) -> npt.NDArray[np.int_]:
    """For each day the first from it on where it happens; past the last one if there is none."""
    at = np.where(happens, days, days.size)
    return np.minimum.accumulate(at[..., ::-1], axis=-1)[..., ::-1]


def starts_run(condition: npt.ArrayLike, length: int) -> FloatArray:
    """1 where `condition` (1, 0, NaN) holds for `length` days from this one on; (..., days).

    A run that is broken by a known day is no run, whatever the unknown days in it.
    """
    holds = np.asarray(condition, dtype=np.float64)
    broken = leading_sum(np.where(np.isnan(holds), 0.0, 1.0 - holds), length)
    total = leading_sum(holds, length)
    known = np.where(broken > 0, 0.0, np.where(np.isnan(total), np.nan, 1.0))
    return np.asarray(known, dtype=np.float64)


def dry_spell(
    water_mm: npt.ArrayLike, soaking_mm: float, *, within_days: int = 3, search_days: int = 120
) -> FloatArray:
    """Days since a soaking, 0 on its day, at most `search_days`; (..., days).

    `water_mm` is each day's rain and watering, NaN where unknown. A soaking is `soaking_mm` or more
    within `within_days` days; its day is the last of them with any water. NaN where an unknown day
    may have been the last soaking, and before the record reaches back far enough. ValueError for a
    soaking not above 0.
    """
    if soaking_mm <= 0.0:
        raise ValueError("a soaking is more than 0 mm")
    water = np.asarray(water_mm, dtype=np.float64)
    total = trailing_sum(water, within_days)
    at_least = trailing_sum(np.where(np.isnan(water), 0.0, water), within_days)
    out = np.full(water.shape, np.nan)
    since = np.full(water.shape[:-1], np.nan)
    dry = np.zeros(water.shape[:-1])
    for day in range(water.shape[-1]):
        soaked = (at_least[..., day] >= soaking_mm) & (water[..., day] > 0.0)
        known = soaked | ~np.isnan(total[..., day])
        since = np.where(soaked, 0.0, np.where(known, since + 1, np.nan))
        dry = np.where(known & ~soaked, dry + 1, 0)
        out[..., day] = np.where(dry >= search_days, search_days, since)
    return np.asarray(np.minimum(out, search_days))


RAINY_DAY_MM = 1.0
"""A wet day of the World Meteorological Organization's climate indices (RR1)."""


def longest_wet_run(rain_mm: npt.ArrayLike, window: int) -> FloatArray:
    """Longest run of rainy days among the last `window` days; (..., days), NaN unless all known.

    A day is rainy with `RAINY_DAY_MM` or more. Dew and watering keep leaves wet too and are not
    seen. ValueError for a window under one day.
    """
    if window < 1:
        raise ValueError(f"window must be at least 1 day, not {window}")
    rain = np.asarray(rain_mm, dtype=np.float64)
    out = np.full(rain.shape, np.nan)
    for day in range(window - 1, rain.shape[-1]):
        run = longest = np.zeros(rain.shape[:-1])
        for back in range(day - window + 1, day + 1):
            run = np.where(rain[..., back] >= RAINY_DAY_MM, run + 1.0, 0.0)
            longest = np.maximum(longest, run)
        unknown = np.isnan(rain[..., day - window + 1 : day + 1]).any(axis=-1)
        out[..., day] = np.where(unknown, np.nan, longest)
    return out
