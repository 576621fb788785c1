"""Setting a spreader by measuring it: pattern, effective swath, rate, and how far off it is.

No table of machines: settings differ with the material, its dampness, and the walking speed.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record

EVEN_ENOUGH = 0.20
"""Largest coefficient of variation of an even pattern (15 to 20 % are common practice; a farming
column calls 10 to 15 % acceptable)."""
TOLERANCE = 0.05
"""A rate within 5 % of what is wanted is set (University of Massachusetts Extension, Rotary
Spreader Calibration Procedures)."""
FEWEST_PANS = 5


class Swath(Record, frozen=True):
    """width_m: distance between passes. variation: of the overlapped pattern, sd / mean."""

    width_m: float
    variation: float


def half_rate_swath(catches: Sequence[float], spacing_m: float) -> float:
    """Twice the distance from the centre to where the catch is half of that at the centre, m.

    Ohio State University Extension, Bulletin 817: the rule for a rotary spreader. catches: from
    left to right, pans evenly spaced, the middle one on the centre line. The mean of both sides;
    the centre is the mean of the three middle pans. Raises `ValueError` for fewer than five pans,
    an even number of them, or an empty centre.
    """
    pans = _checked(catches)
    middle = len(pans) // 2
    centre = float(pans[middle - 1 : middle + 2].mean())
    if centre <= 0:
        raise ValueError("the middle pans are empty; walk over the middle of the row")
    sides = (pans[middle:], pans[middle::-1])
    return sum(_reach(side, centre / 2) for side in sides) * spacing_m


def _reach(side: NDArray[np.float64], half: float) -> float:
    """Pans from the centre to where the catch falls to the half, on a straight line between."""
    for i in range(1, len(side)):
        if side[i] <= half:
            fall = side[i - 1] - side[i]
            return i - 1 + (float((side[i - 1] - half) / fall) if fall > 0 else 0.0)
    raise ValueError("the outermost pans still catch over half; lay the row out wider")


def overlapped(catches: Sequence[float], pans_apart: int) -> NDArray[np.float64]:
    """What lies between two passes when passes are `pans_apart` pans from each other.

    Each pass throws the same pattern, turned round as one walks to and fro.
    """
    pans = _checked(catches)
    if pans_apart < 1:
        raise ValueError("passes are at least one pan apart")
    middle = len(pans) // 2
    total = np.zeros(2 * pans_apart)
    for number in range(-len(pans), len(pans) + 1):
        pattern = pans if number % 2 == 0 else pans[::-1]
        for i, caught in enumerate(pattern):
            at = number * pans_apart + i - middle
            if 0 <= at < 2 * pans_apart:
                total[at] += caught
    return total


def variation(amounts: NDArray[np.float64]) -> float:
    """Coefficient of variation: standard deviation over mean."""
    mean = float(amounts.mean())
    if mean <= 0:
        raise ValueError("nothing was caught")
    return float(amounts.std(ddof=0)) / mean


def widest_even_swath(
    catches: Sequence[float], spacing_m: float, limit: float = EVEN_ENOUGH
) -> Swath | None:
    """The widest distance between passes at which the ground is covered evenly; None if none is."""
    pans = _checked(catches)
    for apart in range(len(pans), 0, -1):
        found = variation(overlapped(catches, apart))
        if found <= limit:
            return Swath(apart * spacing_m, found)
    return None


class Trial(Record, frozen=True):
    """rate, wanted: g/m². factor: what to multiply the flow by. set: within the tolerance."""

    rate: float
    wanted: float

    @property
    def factor(self) -> float:
        return self.wanted / self.rate

    @property
    def is_set(self) -> bool:
        return abs(self.rate / self.wanted - 1) <= TOLERANCE


def trial(
    spent_g: float, length_m: float, swath_m: float, wanted_g_m2: float, passes: int
) -> Trial:
    """What a trial over a known length says, for `passes` passes at a share of the rate each.

    spent_g: weighed before less after. Half rate in two crossing directions: passes = 2. Raises
    `ValueError` for anything that is not over 0.
    """
    if min(spent_g, length_m, swath_m, wanted_g_m2) <= 0 or passes < 1:
        raise ValueError("weight, length, swath and rate must be over 0")
    return Trial(spent_g / (length_m * swath_m), wanted_g_m2 / passes)


def _checked(catches: Sequence[float]) -> NDArray[np.float64]:
    pans = np.asarray(catches, dtype=np.float64)
    if len(pans) < FEWEST_PANS or len(pans) % 2 == 0:
        what = f"{len(pans)} pans; wanted an odd number, {FEWEST_PANS} or more, one in the middle"
        raise ValueError(what)
    if not np.isfinite(pans).all() or (pans < 0).any():
        raise ValueError("a catch is a weight or a height, 0 or more")
    return pans
