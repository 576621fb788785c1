"""How many bags of what a job brings up."""

from __future__ import annotations

from advisor.amounts.amount import Amount
from advisor.amounts.minutes import M2_IN_1000_FT2
from advisor.amounts.say import area
from advisor.base.units import System
from advisor.rulebook.model import Operation


def debris_of(operation: Operation, area_m2: float, units: System) -> Amount | None:
    """Bags by the rule file's rate; None where a job leaves none."""
    effort = operation.effort
    if effort is None or effort.debris_bags_per_1000_ft2 is None:
        return None
    rate = effort.debris_bags_per_1000_ft2
    low, high = (each * area_m2 / M2_IN_1000_FT2 for each in rate)
    says = f"{_whole(low)} to {_whole(high)} bags of debris"
    steps = (f"{rate[0]:g}–{rate[1]:g} bags per 1,000 ft² (93 m²) × {area(area_m2, units)}",)
    behind = tuple(operation.evidence[i] for i in effort.evidence if i in operation.evidence)
    return Amount("debris", low, high, "bags", says, steps=steps, evidence=behind)


def _whole(bags: float) -> int:
    return max(round(bags), 1)
