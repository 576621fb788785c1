"""Weather facts for watching diseases, from the columns of an axis; NaN without humidity."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from advisor.facts.axis import Values
from advisor.signals.disease import brown_patch_index, dollar_spot_probability

LOOK_BACK_DAYS = 3
"""Brown patch shows days after its night: the highest index of so many days counts (chosen)."""


def mean_humidity(columns: Mapping[str, Values]) -> Values:
    """Mean relative humidity of each day, %, or the middle of its extremes; NaN if unknown."""
    air = columns["air_max_c"]
    unknown = np.full(air.shape, np.nan)
    low = columns.get("humidity_min_pct", unknown)
    high = columns.get("humidity_max_pct", unknown)
    mean = columns.get("humidity_pct", unknown)
    return np.where(np.isnan(mean), (low + high) / 2.0, mean)


def dollar_spot_risk(columns: Mapping[str, Values]) -> Values:
    """Probability of active dollar spot, 0 to 1, from the middle of the daily extremes."""
    middle = (columns["air_max_c"] + columns["air_min_c"]) / 2.0
    return dollar_spot_probability(middle, mean_humidity(columns))


def brown_patch_highest(columns: Mapping[str, Values]) -> Values:
    """Highest brown patch index of the last `LOOK_BACK_DAYS` days; NaN unless all are known."""
    index = brown_patch_index(columns["air_min_c"], mean_humidity(columns))
    out = index.copy()
    for back in range(1, LOOK_BACK_DAYS):
        earlier = np.full(index.shape, np.nan)
        earlier[..., back:] = index[..., :-back]
        out = np.maximum(out, earlier)
    return out
