"""The plain reader: condition trees with what decided them, and whole programs.

The engine is held to what it says.

Kleene's strong three-valued logic (1952, *Introduction to Metamathematics*, section 64), written
without regard to the engine so that each can check the other.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable, Mapping, Sequence

from advisor.base.record import Record
from advisor.decide.engine.model import (
    CONCLUSION,
    UNKNOWN,
    Combination,
    Effect,
    Evaluation,
    Formula,
    RuleSetError,
    Table,
    Values,
    is_known,
)
from advisor.facts.fact import Value
from advisor.rulebook.conditions import Comparison, Condition, Group, Grouping, Leaf, Truth

_HOLDS: dict[Comparison, Callable[..., bool]] = {
    "over": operator.gt,
    "under": operator.lt,
    "at_least": operator.ge,
    "at_most": operator.le,
    "is": operator.eq,
    "is_not": operator.ne,
    "one_of": lambda value, limits: value in limits,
    "none_of": lambda value, limits: value not in limits,
}


class TracedLeaf(Record, frozen=True):
    """A comparison with its truth and the value of its fact."""

    leaf: Leaf
    truth: Truth
    value: Value | None


class TracedGroup(Record, frozen=True):
    """A group with its truth and its traced parts."""

    group: Group
    truth: Truth
    parts: tuple[Traced, ...]


Traced = TracedLeaf | TracedGroup


def truth(condition: Condition, values: Values) -> Truth:
    """Whether the tree holds for these facts. A fact that is not given is unknown."""
    if isinstance(condition, Leaf):
        return _leaf_truth(condition, values.get(condition.fact))
    return group_truth(condition.how, [truth(part, values) for part in condition.parts])


def trace(condition: Condition, values: Values) -> Traced:
    """The tree with the truth of each of its nodes."""
    if isinstance(condition, Leaf):
        value = values.get(condition.fact)
        return TracedLeaf(condition, _leaf_truth(condition, value), value)
    parts = tuple(trace(part, values) for part in condition.parts)
    return TracedGroup(condition, group_truth(condition.how, [p.truth for p in parts]), parts)


def group_truth(how: Grouping, parts: Iterable[Truth]) -> Truth:
    """The truth of a group from the truths of its parts. Over no parts only `any` is false."""
    found = list(parts)
    settles = how != "all"  # one true part settles any and none, one false part settles all
    if settles in found:
        return how == "any"
    if None in found:
        return None
    return how != "any"


def deciding_leaves(traced: Traced) -> tuple[TracedLeaf, ...]:
    """The leaves that carry the tree's truth, in file order.

    Of an `all` that is false, for instance, those under its false parts; of a tree that is
    unknown, those that are unknown and not overruled.
    """
    if isinstance(traced, TracedLeaf):
        return (traced,)
    carries = traced.truth
    if traced.group.how == "none" and carries is not None:
        carries = not carries
    deciding = (part for part in traced.parts if part.truth == carries)
    return tuple(leaf for part in deciding for leaf in deciding_leaves(part))


def _leaf_truth(leaf: Leaf, value: Value | None) -> Truth:
    if leaf.comparison == "known":
        return is_known(value) == leaf.limit
    if not is_known(value):
        return None
    return _HOLDS[leaf.comparison](value, leaf.limit)


def evaluate_plainly(
    formulas: Mapping[str, Formula],
    values: Values,
    table: Table | None = None,
    effects: Sequence[Effect] = (),
) -> Evaluation:
    """What follows from the values, as the engine would have it.

    Raises `RuleSetError` if not exactly one row of the table applies.
    """
    truths = formula_truths(formulas, values)
    conclusion = _conclude(table, truths, values) if table else ""
    flags: dict[str, Truth] = {}
    for effect in effects:
        parts = [
            _is_in(conclusion if name == CONCLUSION else _state(name, truths, values), wanted)
            for name, wanted in effect.when.items()
        ]
        before = flags.get(effect.flag, False)
        flags[effect.flag] = group_truth("any", [before, group_truth("all", parts)])
    return Evaluation(truths, conclusion, flags)


def formula_truths(formulas: Mapping[str, Formula], values: Values) -> dict[str, Truth]:
    """The truth of each formula."""
    found: dict[str, Truth] = {}

    def find(name: str) -> Truth:
        if name not in found:
            formula = formulas[name]
            found[name] = (
                group_truth(formula.how, [find(part) for part in formula.of])
                if isinstance(formula, Combination)
                else truth(formula, values)
            )
        return found[name]

    return {name: find(name) for name in formulas}


def _conclude(table: Table, truths: Mapping[str, Truth], values: Values) -> str:
    states = {name: _state(name, truths, values) for name in table.inputs}
    hits = [
        conclusion
        for when, conclusion in table.rows
        if all(states[name] in wanted.split("|") for name, wanted in when.items())
    ]
    if len(hits) != 1:
        raise RuleSetError(f"{len(hits)} rows of the table apply to {states}; wanted one")
    return hits[0]


def _state(name: str, truths: Mapping[str, Truth], values: Values) -> str:
    value: Value | None = truths[name] if name in truths else values.get(name)
    if not is_known(value):
        return UNKNOWN
    return str(value).lower() if isinstance(value, bool) else str(value)


def _is_in(state: str, wanted: str) -> Truth:
    if state in wanted.split("|"):
        return True
    return None if state == UNKNOWN else False
