"""Degree days: three ways to count a day, running totals, and the heat still to come.

The three ways differ most in spring, so an output must name the one used. Units: °C·day for °C in,
°F·day for °F in. Shapes (..., days); NaN gives NaN.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.signals.running import FloatArray


def mean_degree_days(air_max: npt.ArrayLike, air_min: npt.ArrayLike, base: float) -> FloatArray:
    """max(0, (Tmax + Tmin) / 2 - base), the simple-average method.

    Source: Virginia Cooperative Extension (Goatley et al. 2007): base 50 °F, day of 75/27 °F = 1.
    """
    mean = (np.asarray(air_max, dtype=np.float64) + np.asarray(air_min, dtype=np.float64)) / 2.0
    return np.maximum(mean - base, 0.0)


def modified_degree_days(
    air_max: npt.ArrayLike, air_min: npt.ArrayLike, base: float, cap: float
) -> FloatArray:
    """Both extremes are first held within base..cap, then averaged (the "86/50" method for maize).

    From memory: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291-300, method 2. ValueError
    when the cap is not above the base.
    """
    if cap <= base:
        raise ValueError(f"cap {cap} must lie above base {base}")
    high = np.clip(np.asarray(air_max, dtype=np.float64), base, cap)
    low = np.clip(np.asarray(air_min, dtype=np.float64), base, cap)
    return np.asarray((high + low) / 2.0 - base, dtype=np.float64)


def sine_degree_days(air_max: npt.ArrayLike, air_min: npt.ArrayLike, base: float) -> FloatArray:
    """Area above the base under one sine wave a day through Tmin and Tmax (single sine).

    From memory: Baskerville & Emin 1969, Ecology 50:514-517. With M the mean, A half the range and
    theta = asin((base - M) / A): ((M - base)(pi/2 - theta) + A cos theta) / pi when the base lies
    between the extremes. NaN where Tmax < Tmin.
    """
    high, low = np.asarray(air_max, dtype=np.float64), np.asarray(air_min, dtype=np.float64)
    mean, half = (high + low) / 2.0, (high - low) / 2.0
    half = np.where(half >= 0.0, half, np.nan)
    excess = mean - base
    # A base outside the wave is clipped to its edge, which gives 0 or the whole mean.
    ratio = np.where(half > 0.0, -excess, -np.sign(excess)) / np.where(half > 0.0, half, 1.0)
    theta = np.arcsin(np.clip(ratio, -1.0, 1.0))
    area = (excess * (np.pi / 2.0 - theta) + half * np.cos(theta)) / np.pi
    return np.asarray(np.maximum(area, 0.0), dtype=np.float64)


def cumulative(degree_days: npt.ArrayLike, start: int = 0) -> FloatArray:
    """Running total from day index `start` on, inclusive; 0 before it.

    A NaN day makes every later total NaN: a total with a hole is not a total. ValueError for a
    start outside the array.
    """
    data = np.asarray(degree_days, dtype=np.float64)
    if not 0 <= start <= data.shape[-1]:
        raise ValueError(f"start {start} lies outside the {data.shape[-1]} days")
    out = np.zeros(data.shape)
    out[..., start:] = np.cumsum(data[..., start:], axis=-1)
    return out


def room_left(degree_days: npt.ArrayLike, end: int) -> FloatArray:
    """Sum of degree days from each day, inclusive, up to day index `end`, exclusive; 0 from `end`.

    With degree days of the soil at base 5 °C and `end` at midwinter it says how much growth a
    sowing on each day can still make. NaN while any day still to come is unknown. ValueError for an
    end outside the array.
    """
    data = np.asarray(degree_days, dtype=np.float64)
    if not 0 <= end <= data.shape[-1]:
        raise ValueError(f"end {end} lies outside the {data.shape[-1]} days")
    out = np.zeros(data.shape)
    out[..., :end] = np.cumsum(data[..., :end][..., ::-1], axis=-1)[..., ::-1]
    return out


def room_until(degree_days: npt.ArrayLike, ends: npt.ArrayLike) -> FloatArray:
    """As `room_left`, with an end of its own for each row: 0 from it on; (..., days) and (...).

    What comes from an end on is not looked at, so an unknown day there is no matter.
    """
    data = np.asarray(degree_days, dtype=np.float64)
    live = np.arange(data.shape[-1]) < np.asarray(ends)[..., np.newaxis]
    kept = np.where(live, data, 0.0)
    left = np.cumsum(kept[..., ::-1], axis=-1)[..., ::-1]
    return np.asarray(np.where(live, left, 0.0), dtype=np.float64)
