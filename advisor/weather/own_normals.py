"""Monthly means of a record too short to lend whole years: a rough stand-in for normals."""

from __future__ import annotations

import calendar

import numpy as np
from numpy.typing import NDArray

from advisor.weather.gaps import MonthlyNormals
from advisor.weather.table import Values, WeatherTable

LEAST_DAYS = 25
"""Known days that a month's mean wants (chosen)."""


def own_normals(table: WeatherTable) -> MonthlyNormals | None:
    """The record's own monthly means; None unless each month of the year has enough known days.

    One year is no climate: dates from it are rough, and whoever shows them has to say so.
    """
    months = table.days.astype("datetime64[M]").astype(np.int64) % 12
    high, low = (_means(table.column(n), months) for n in ("air_max_c", "air_min_c"))
    if np.isnan(high).any() or np.isnan(low).any():
        return None
    lengths = [calendar.monthrange(2025, month)[1] for month in range(1, 13)]
    rain = _means(table.column("rain_mm"), months) * lengths
    return MonthlyNormals(
        file=table.source.file,
        air_max_c=tuple(float(v) for v in high),
        air_min_c=tuple(float(v) for v in low),
        rain_mm=tuple(float(v) for v in rain),
        attribution=table.source.attribution,
    )


def _means(values: Values, months: NDArray[np.int64]) -> Values:
    """The mean of each month of the year, NaN where too few days are known; (12,)."""
    known = ~np.isnan(values)
    counts = np.bincount(months[known], minlength=12)
    sums = np.bincount(months[known], weights=values[known], minlength=12)
    return np.where(counts >= LEAST_DAYS, sums / np.maximum(counts, 1), np.nan)
