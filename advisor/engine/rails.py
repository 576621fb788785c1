"""A formula as two positive formulas: one fires when it is true, the other when it is false.

Both are in negation normal form: a negation is pushed down to the comparisons, which are replaced
by their complements. A comparison needs a known value, so when neither rail fires the formula is
unknown. That is Kleene's logic, and it needs no negation in the engine.
"""

from __future__ import annotations

from collections.abc import Iterable

from advisor.base.record import Record
from advisor.engine.errors import RuleSetError
from advisor.engine.model import Combination, Formula
from advisor.rulebook.conditions import Comparison, Leaf, Limit

COMPLEMENT: dict[Comparison, Comparison] = {
    "over": "at_most",
    "at_most": "over",
    "under": "at_least",
    "at_least": "under",
    "is": "is_not",
    "is_not": "is",
    "one_of": "none_of",
    "none_of": "one_of",
}


class Test(Record, frozen=True):
    """A known value of `fact` compares so with the limits; `known` has none."""

    fact: str
    comparison: Comparison
    limits: tuple[Limit, ...] = ()


class Unknown(Record, frozen=True):
    """The value of `fact` is not known."""

    fact: str


class Holds(Record, frozen=True):
    """A derived signal has one of these values."""

    signal: str
    values: tuple[int, ...]


class Every(Record, frozen=True):
    """All parts. Over no parts it is true."""

    parts: tuple[Node, ...]


class Either(Record, frozen=True):
    """At least one part. Over no parts it is false."""

    parts: tuple[Node, ...]


Node = Test | Unknown | Holds | Every | Either


def formula_signal(name: str) -> str:
    """The derived signal of a formula: 0 false, 1 true, 2 known to be unknown."""
    return f"formula {name}"


def rail(formula: Formula, positive: bool) -> Node:
    """The rail that fires when `formula` is true (`positive`) or false (not `positive`).

    Raises `RuleSetError` for a leaf whose limit does not fit its comparison.
    """
    if isinstance(formula, Leaf):
        return _leaf(formula, positive)
    inner = positive != (formula.how == "none")
    parts: Iterable[Node]
    if isinstance(formula, Combination):
        parts = (Holds(formula_signal(name), (int(inner),)) for name in formula.of)
    else:
        parts = (rail(part, inner) for part in formula.parts)
    every = (formula.how != "any") == positive
    return every_of(parts) if every else either_of(parts)


def every_of(parts: Iterable[Node]) -> Node:
    """`Every`, without nesting."""
    flat = [p for part in parts for p in (part.parts if isinstance(part, Every) else (part,))]
    return flat[0] if len(flat) == 1 else Every(tuple(flat))


def either_of(parts: Iterable[Node]) -> Node:
    """`Either`, without nesting."""
    flat = [p for part in parts for p in (part.parts if isinstance(part, Either) else (part,))]
    return flat[0] if len(flat) == 1 else Either(tuple(flat))


def _leaf(leaf: Leaf, positive: bool) -> Node:
    if leaf.comparison == "known":
        if not isinstance(leaf.limit, bool):
            raise RuleSetError(f"{leaf.path or leaf.fact}: 'known' is true or false")
        return Test(leaf.fact, "known") if leaf.limit == positive else Unknown(leaf.fact)
    limits = leaf.limit if isinstance(leaf.limit, tuple) else (leaf.limit,)
    if isinstance(leaf.limit, tuple) != (leaf.comparison in ("one_of", "none_of")) or not limits:
        what = f"'{leaf.comparison}' does not go with {leaf.limit!r}"
        raise RuleSetError(f"{leaf.path or leaf.fact}: {what}")
    return Test(leaf.fact, leaf.comparison if positive else COMPLEMENT[leaf.comparison], limits)
