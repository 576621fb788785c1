"""Degree days over 50 °F in spring, by which emergence of crabgrass is foretold."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from advisor.facts.axis import Values
from advisor.facts.season_days import SeasonDays
from advisor.signals.degree_days import mean_degree_days

FROM_MIDWINTER_DAYS = 56
"""Counted from 15 February, the day from which Michigan State University counts. Further north
nothing comes before it; in the Carolinas warm days of January would close the season early."""
BASE_C = 10.0
"""50 °F: Purdue University Turfgrass Science (200 degree days) and Virginia Tech (70-140)."""


def spring_warmth(air_max: Values, air_min: Values, seasons: Iterable[SeasonDays]) -> Values:
    """°C·d of daily means over 10 °C from 15 February (15 August in the south) to each day before
    midsummer; else 0.

    air_max, air_min: °C, shape (members, days). NaN where the axis begins after the first day.
    """
    warmth = mean_degree_days(air_max, air_min, BASE_C)
    out = np.full(warmth.shape, np.nan)
    for season in seasons:
        start = season.midwinter + FROM_MIDWINTER_DAYS
        out[:, slice(max(season.midsummer, 0), max(start, 0))] = 0.0
        if start >= 0:
            part = slice(start, max(season.next_midsummer, 0))
            out[:, part] = np.cumsum(warmth[:, part], axis=1)
    return out
