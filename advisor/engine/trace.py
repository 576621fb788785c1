"""The plain reader of condition trees: what is true, and which comparisons decided it.

Kleene's strong three-valued logic (1952, *Introduction to Metamathematics*, section 64), written
without regard to the engine so that each can check the other.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterable

from advisor.base.record import Record
from advisor.engine.model import Values, is_known
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
