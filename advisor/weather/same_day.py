"""The same calendar day in other years, for whole arrays of days."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from advisor.weather.table import Days


def same_day(days: Days, years_later: int | NDArray[np.int64]) -> Days:
    """Each day moved by whole calendar years; 29 February becomes the 28th where it must.

    days and years_later (negative: earlier) broadcast against each other.
    """
    months = days.astype("datetime64[M]")
    of_month = (days - months.astype("datetime64[D]")).astype(np.int64)
    moved = months + 12 * np.asarray(years_later)
    following = (moved + np.timedelta64(1, "M")).astype("datetime64[D]")
    length = (following - moved.astype("datetime64[D]")).astype(np.int64)
    result: Days = moved.astype("datetime64[D]") + np.minimum(of_month, length - 1)
    return result


def calendar_years(days: Days) -> NDArray[np.int64]:
    """The calendar year of each day."""
    years: NDArray[np.int64] = days.astype("datetime64[Y]").astype(np.int64) + 1970
    return years
