"""Dates with their chances: by when something has happened in 1, 5 and 9 years of 10."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from advisor.base.quantiles import quantiles
from advisor.base.record import Record
from advisor.facts.axis import Axis

ENOUGH_YEARS = 20
Z90 = 1.2815515655446004
"""The 90 % point of the standard normal distribution."""


class Spread(Record, frozen=True):
    """The dates by which something has happened in 1, 5 and 9 members of 10."""

    p10: dt.date
    p50: dt.date
    p90: dt.date


def spread_of(indices: NDArray[np.int64], axis: Axis) -> Spread:
    """The spread of some day indices of an axis."""
    low, middle, high = (axis.date(round(q)) for q in date_quantiles(indices))
    return Spread(low, middle, high)


def date_quantiles(indices: NDArray[np.int64]) -> tuple[float, float, float]:
    """The 10, 50 and 90 % points of some days.

    From 20 years on between order statistics (Hyndman and Fan 1996, type 7); with fewer, of a
    normal curve through their mean and spread, whose 10 % date was the steadier one for small
    samples (derived: freeze dates of two places resampled).
    """
    days = indices.astype(np.float64)
    if len(days) >= ENOUGH_YEARS:
        low, middle, high = quantiles(days, (0.1, 0.5, 0.9))
        return low, middle, high
    mean = float(days.mean())
    spread = float(days.std(ddof=1)) if len(days) > 1 else 0.0
    return mean - Z90 * spread, mean, mean + Z90 * spread
