"""How much nitrogen or lime goes on an area at a time, with its steps to check by hand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from advisor.answers.amount import Amount
from advisor.base.units import System, convert, show
from advisor.facts.fact import Fact
from advisor.rulebook.effort import Spreads
from advisor.rulebook.law import LawRule
from advisor.rulebook.model import Grass, Operation

BAG = (27, 0, 5)
"""A bag to reckon an example with: no phosphorus, as most lawns need none (chosen)."""


def product_weight(nitrogen: float, first_number: float) -> float:
    """Weight of a fertiliser that holds so much nitrogen; its first number is in per cent.

    Nebraska Extension, *Lawn fertilizer calculations*: 1 lb / 0.28 = 3.57 lb of a 28-3-6.
    """
    return nitrogen / (first_number / 100)


def liming_material(recommended: float, equivalent: float) -> float:
    """Weight of a lime with this calcium carbonate equivalent, per cent, for a recommendation.

    Penn State Agricultural Analytical Services Laboratory, *Home lawn*: 75 x 100 / 80 = 94 lb.
    """
    return recommended * 100 / equivalent


def spread_amounts(
    operation: Operation,
    grass: Grass,
    area_m2: float,
    units: System,
    facts: Mapping[str, Fact],
    laws: Iterable[LawRule],
) -> Iterator[Amount]:
    """What to weigh out; nothing for a job that spreads nothing, or where the amount is unknown."""
    spread = operation.spreads
    if spread is None:
        return
    caps = dose_caps(spread, grass, facts, laws)
    if not caps:
        return
    reason = min(caps, key=lambda name: caps[name])
    rate = caps[reason]
    if rate <= 0:
        return
    unit = "lb" if units == "us" else "kg"
    weight = convert(rate * area_m2 / 1000, "kg", unit)
    steps = f"{show(rate, 'g/m2', units)}, {reason}, × {show(area_m2, 'm2', units)}"
    if spread.what == "lime":
        text = f"{weight:.0f} {unit} of pure lime; of one with an equivalent of 80, "
        text += f"{liming_material(weight, 80):.0f} {unit}"
    else:
        bag = "-".join(str(number) for number in BAG)
        text = f"{weight:.1f} {unit} of nitrogen at the most: "
        text += f"{product_weight(weight, BAG[0]):.0f} {unit} of a {bag}, for example"
        steps += f"; divided by the first number on the bag and times 100 ({BAG[0]} here)"
    yield Amount(spread.what, weight, weight, unit, text, steps, spread.evidence)


def dose_caps(
    spread: Spreads, grass: Grass, facts: Mapping[str, Fact], laws: Iterable[LawRule]
) -> dict[str, float]:
    """What holds a dose down, each with its g/m²; empty where no amount may be told."""
    caps = {"the most at a time": spread.most}
    if spread.what == "nitrogen":
        return caps | _nitrogen_caps(grass, facts, laws)
    left = _number(facts, "lime_left")
    return caps | {"what the laboratory asks for and was not spread": left} if left else {}


def _nitrogen_caps(
    grass: Grass, facts: Mapping[str, Fact], laws: Iterable[LawRule]
) -> dict[str, float]:
    """What holds a dose down: what is left for the grass, and the law."""
    caps: dict[str, float] = {}
    half, fed = facts["feeding_half"].value, _number(facts, "nitrogen_fed")
    budget = grass.limits.get(f"nitrogen_{str(half).removeprefix('to_')}")
    if budget is not None and fed is not None:
        caps["what is left for this half of the year"] = budget.value - fed
    for rule in laws:
        if rule.most is None or rule.soluble:
            continue
        if rule.per == "dose":
            caps["the most that the law here allows at a time"] = rule.most
        elif fed is not None:
            caps["what the law here leaves of the year"] = rule.most - fed
    return caps


def _number(facts: Mapping[str, Fact], name: str) -> float | None:
    value = facts[name].value if name in facts else None
    return value if isinstance(value, float) else None
