"""What a place's years have in common: its coldest night and its hot days.

Both are means over members, one number for the place. Units: °C, days.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

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
