"""What holds a dose of nitrogen or lime down, and the weight of the product that carries it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.facts.fact import Fact
from advisor.rulebook.effort import Spreads
from advisor.rulebook.law import LawRule
from advisor.rulebook.model import Grass


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
