"""Whole bags for a weight or a volume, what is left over, and what they cost."""

from __future__ import annotations

import math

from advisor.base.record import Record

_SLIVER = 1e-6
"""A share of a bag that is only rounding of the arithmetic."""


class Bags(Record, frozen=True):
    """count of bags of `size`; left over in the unit of the size; cost None without a price."""

    count: int
    size: float
    left: float
    cost: float | None


def bags_for(needed: float, size: float, price: float | None = None, slack: float = 0.0) -> Bags:
    """Rounded up, as shops sell no part of a bag.

    slack: share of the need that may stay short, for loose material, whose layer is no more exact.
    Raises `ValueError` for a size of nothing."""
    if size <= 0:
        raise ValueError("a bag holds something")
    count = math.ceil(needed * (1 - slack) / size - _SLIVER)
    left = max(count * size - needed, 0.0)
    return Bags(count, size, left, None if price is None else count * price)
