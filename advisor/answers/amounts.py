"""Hours, bags and seed for one operation on an area, each with its steps to check by hand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.answers.amount import Amount
from advisor.answers.spread_amounts import spread_amounts
from advisor.base.units import System, convert, show
from advisor.facts.fact import Fact
from advisor.rulebook.law import LawRule
from advisor.rulebook.model import Grass, Operation

M2_IN_1000_FT2 = 92.90304
"""m² in 1,000 ft²."""


def amounts(
    operation: Operation,
    grass: Grass,
    area_m2: float,
    units: System,
    facts: Mapping[str, Fact] | None = None,
    laws: Iterable[LawRule] = (),
) -> tuple[Amount, ...]:
    """What an operation takes on an area of this size, m². Empty for an unknown size.

    facts: of the day, for what depends on records. laws: the rules of the place that limit it.
    """
    found: list[Amount] = []
    size = show(area_m2, "m2", units)
    thousands = area_m2 / M2_IN_1000_FT2
    effort = operation.effort
    if effort is not None:
        low, high = (minutes * thousands for minutes in effort.minutes_per_1000_ft2)
        rate = f"{effort.minutes_per_1000_ft2[0]:g}–{effort.minutes_per_1000_ft2[1]:g}"
        steps = f"{rate} min per 1,000 ft² (93 m²) × {size}"
        text = f"{say_time(low)} to {say_time(high)} for one person"
        found.append(Amount("time", low, high, "min", text, steps, effort.evidence))
        if effort.debris_bags_per_1000_ft2 is not None:
            few, many = effort.debris_bags_per_1000_ft2
            low, high = few * thousands, many * thousands
            text = f"{_whole(low)} to {_whole(high)} bags of debris"
            steps = f"{few:g}–{many:g} bags per 1,000 ft² (93 m²) × {size}"
            found.append(Amount("debris", low, high, "bags", text, steps, effort.evidence))
    seed = _seed(operation, grass, area_m2, units)
    found += [seed] if seed else []
    found += spread_amounts(operation, grass, area_m2, units, facts or {}, laws)
    return tuple(found)


def _seed(operation: Operation, grass: Grass, area_m2: float, units: System) -> Amount | None:
    if operation.seed_rate is None:
        return None
    low = grass.limits.get(f"seed_rate_{operation.seed_rate}_low")
    high = grass.limits.get(f"seed_rate_{operation.seed_rate}_high")
    if low is None or high is None:
        return None
    kilos = [rate.value * area_m2 / 1000 for rate in (low, high)]
    steps = (
        f"{show(low.value, 'g/m2', units)} to {show(high.value, 'g/m2', units)} × "
        f"{show(area_m2, 'm2', units)}; divide by the pure live seed of the label"
    )
    unit = "lb" if units == "us" else "kg"
    shown = [convert(k, "kg", unit) for k in kilos]
    text = f"{shown[0]:.1f} to {shown[1]:.1f} {unit} of {grass.title} seed"
    return Amount("seed", shown[0], shown[1], unit, text, steps, (*low.evidence, *high.evidence))


def say_time(minutes: float) -> str:
    """Minutes as hours and minutes, rounded to five."""
    whole = max(round(minutes / 5) * 5, 5)
    hours, rest = divmod(whole, 60)
    if not hours:
        return f"{rest} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def _whole(bags: float) -> int:
    return max(round(bags), 1)
