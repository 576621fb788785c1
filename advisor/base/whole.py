"""Whole numbers of what is reckoned: minutes, bags, blocks of hire, barrow loads.

Quantities are kept with nine decimals, so that `1 min` is not quite a sixtieth of an hour; what is
over or under a whole number only by that is that number.
"""

from __future__ import annotations

import math

_LEAST, _SHARE = 1e-6, 5e-8
"""What such rounding comes to at most: a share of the number, and never less than the least."""


def whole_up(value: float) -> int:
    """Rounded up: 2.00000002 fives of minutes are two."""
    return math.ceil(value - _sliver(value))


def whole_down(value: float) -> int:
    """Rounded down: 9.99999998 minutes are ten."""
    return math.floor(value + _sliver(value))


def _sliver(value: float) -> float:
    return max(_LEAST, _SHARE * abs(value))
