"""What the years of a place have in common, as one number on every day of an axis."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from advisor.facts.axis import Axis, Values

DAYS_OF_A_YEAR = 365


def of_the_years(axis: Axis, column: str, mean: Callable[[Values], float]) -> Values:
    """One number of the coming year over all members, on every day; NaN without past years."""
    values = axis.columns[column][:, axis.today + 1 : axis.today + 1 + DAYS_OF_A_YEAR]
    known = axis.basis == "record" and values.shape[1] == DAYS_OF_A_YEAR
    return np.full(axis.shape, mean(values) if known else np.nan)
