"""What a zone's sprinklers give: from cans set out under them, or from the water meter."""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.base.record import Record

FEW_IN_GROUND, MANY_IN_GROUND = 2, 8
FEW_MOVED, MANY_MOVED = 6, 50
"""Cans for a rate within 25 % in nine tests of ten: 2–8 under fixed sprinklers, 6 to over 50 under
one that is moved by hand (J. American Water Resources Assoc. 2007, doi
10.1111/j.1752-1688.2007.00075.x, abstract)."""
FEWEST_CANS = 4
"""A lowest quarter needs at least one can of four."""
GPM_PER_FT2 = 96.25
"""in/h of 1 gal/min on 1 ft², as a public water utility prints it (Klickitat PUD, sprinkler rates);
60 min/h × 12 in/ft ÷ 7.48 gal/ft³."""


class Audit(Record, frozen=True):
    """cans: how many. rate: mean, mm/h. uniformity: of the lowest quarter, 0 to 1."""

    cans: int
    rate: float
    uniformity: float

    @property
    def error_within_quarter(self) -> str:
        """`sure`, `perhaps` or `unsure` that the rate is within 25 % under fixed sprinklers."""
        if self.cans >= MANY_IN_GROUND:
            return "sure"
        return "perhaps" if self.cans > FEW_IN_GROUND else "unsure"


def audit(depths_mm: Sequence[float], minutes: float) -> Audit:
    """Precipitation rate and distribution uniformity of the lowest quarter.

    Rate: mean depth ÷ minutes × 60 (New Mexico State University, Guide H-510). Uniformity: mean of
    the lowest quarter of the catches ÷ mean of all (term definition of AgGateway); of a number that
    four does not divide the quarter is rounded to the nearest can. Raises `ValueError` for fewer
    than four cans, a negative catch, nothing caught or no time.
    """
    if len(depths_mm) < FEWEST_CANS:
        raise ValueError(f"{len(depths_mm)} cans; wanted {FEWEST_CANS} or more, better 8 to 20")
    if not all(math.isfinite(d) and d >= 0 for d in depths_mm):
        raise ValueError("a catch is a depth or a volume, 0 or more")
    if not (math.isfinite(minutes) and minutes > 0):
        raise ValueError("the sprinklers ran for no time")
    mean = sum(depths_mm) / len(depths_mm)
    if mean <= 0:
        raise ValueError("nothing was caught")
    lowest = sorted(depths_mm)[: max(1, math.floor(len(depths_mm) / 4 + 0.5))]
    return Audit(len(depths_mm), mean / minutes * 60, sum(lowest) / len(lowest) / mean)


def depth_from_volume(litres: float, diameter_mm: float) -> float:
    """mm of water in a straight can: volume over the area of its mouth. Raises `ValueError`."""
    if diameter_mm <= 0:
        raise ValueError("a can's mouth is over 0 wide")
    return litres * 1e6 / (math.pi * diameter_mm**2 / 4)


def rate_from_flow(litres_per_minute: float, area_m2: float) -> float:
    """mm/h of a flow on an area: 60 × L/min ÷ m², the same as 96.25 × gpm ÷ ft² in inches."""
    if litres_per_minute <= 0 or area_m2 <= 0:
        raise ValueError("flow and area must be over 0")
    return 60 * litres_per_minute / area_m2


def run_minutes(depth_mm: float, rate: float, uniformity: float | None = None) -> float:
    """Minutes for a depth: depth ÷ rate × 60, longer where the sprinklers are uneven.

    The allowance is 1 ÷ (0.4 + 0.6 × uniformity), the run time multiplier of landscape auditors
    (from memory). None: not measured, no allowance.
    """
    if depth_mm < 0 or rate <= 0:
        raise ValueError("a depth is 0 or more and a rate over 0")
    return depth_mm / rate * 60 * multiplier(uniformity)


def multiplier(uniformity: float | None) -> float:
    """1 for even or unmeasured sprinklers, up to 2.5."""
    if uniformity is None:
        return 1.0
    if not 0 <= uniformity <= 1:
        raise ValueError("uniformity is a share")
    return 1 / (0.4 + 0.6 * uniformity)
