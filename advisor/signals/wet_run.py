"""How long the grass lately stayed wet, told by rainy days in a row."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.signals.running import FloatArray

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
