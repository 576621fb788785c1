"""Quantiles without the start of masked arrays, which `numpy.quantile` and `median` bring along."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray


def quantiles(values: NDArray[Any], shares: Sequence[float]) -> tuple[float, ...]:
    """The points of one or more numbers below which such shares (0 to 1) of them lie.

    Between order statistics (Hyndman and Fan 1996, type 7), as `numpy.quantile` has it.
    """
    ordered = np.sort(values)
    at = np.multiply(shares, len(ordered) - 1)
    return tuple(np.interp(at, np.arange(len(ordered)), ordered).tolist())


def median(values: NDArray[Any]) -> float:
    """The middle of one or more numbers."""
    return quantiles(values, (0.5,))[0]
