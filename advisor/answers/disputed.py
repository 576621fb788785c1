"""Whether sources would judge this lawn differently: its value lies between their limits."""

from __future__ import annotations

from advisor.base.record import replace
from advisor.engine.trace import truth
from advisor.facts.fact import Value
from advisor.facts.vocabulary import FactDefinition
from advisor.rulebook.conditions import NUMERIC, Leaf
from advisor.rulebook.range_numbers import numbers_in


def is_disputed(leaf: Leaf, value: Value | None, definition: FactDefinition) -> bool:
    """Whether a limit that the condition's `range` names would turn the comparison.

    False where the value is unknown, or the range names no number in the fact's unit.
    """
    if leaf.comparison not in NUMERIC or not leaf.range or value is None:
        return False
    values = {leaf.fact: value}
    as_is = truth(leaf, values)
    others = numbers_in(leaf.range, definition.unit)
    return any(truth(replace(leaf, limit=other), values) != as_is for other in others)
