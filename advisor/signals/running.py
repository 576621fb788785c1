"""Running statistics along the days axis: trailing and leading windows, exponential means."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

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
