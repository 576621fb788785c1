"""How long ago the lawn last got a soaking, from rain and recorded watering."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.signals.running import FloatArray, trailing_sum


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
