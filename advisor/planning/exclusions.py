"""Which wanted jobs the rule files keep apart: what one, just done, forbids to another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.advice.item import Item
from advisor.decide.engine.plain import truth
from advisor.facts.fact import Value
from advisor.rulebook.conditions import facts_of


def forbidden_after(then: Item, done: str) -> str:
    """Why an operation is forbidden on the days after another was done, or an empty string.

    The rule file's own conflicts are asked, with the other operation done today.
    """
    fact = f"days_since.{done}"
    values: Mapping[str, Value | None] = {**then.decision.values, fact: 0.0}
    for conflict in then.operation.conflicts:
        if fact in facts_of(conflict.when) and truth(conflict.when, values) is True:
            return conflict.says
    return ""


def keep_apart(
    items: Sequence[Item], before: Mapping[str, frozenset[str]]
) -> tuple[tuple[Item, ...], tuple[tuple[Item, str], ...]]:
    """Those that can share a plan, and those that cannot, each with its reason.

    before: for each operation all that come before it. Of two that exclude each other the one that
    the working order puts later is left out; where the order says nothing, the one that the other
    forbids.
    """
    left: dict[int, str] = {}
    for i, later in enumerate(items):
        for j, first in enumerate(items):
            if i == j or j in left or first.part.name != later.part.name:
                continue
            if later.operation.id in before[first.operation.id]:
                continue
            why = forbidden_after(later, first.operation.id)
            if why:
                left[i] = f"after {first.operation.title.lower()}: {why}"
                break
    kept = tuple(item for i, item in enumerate(items) if i not in left)
    return kept, tuple((items[i], why) for i, why in left.items())
