"""Condition trees: one fact, one comparison, one limit to a line, grouped by all, any or none.

Truth is three-valued (Kleene 1952, *Introduction to Metamathematics*, section 64): true, false, or
None for unknown.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal

from advisor.base.problems import Place
from advisor.base.record import Record

Truth = bool | None
Limit = float | bool | str
Comparison = Literal[
    "over", "under", "at_least", "at_most", "is", "is_not", "one_of", "none_of", "known"
]
Grouping = Literal["all", "any", "none"]

NUMERIC: frozenset[Comparison] = frozenset({"over", "under", "at_least", "at_most"})


class Leaf(Record, frozen=True):
    """`fact` compared with `limit`, which is in the fact's canonical unit.

    For `one_of` and `none_of` the limit is a tuple; for `known` it is True or False. Every
    comparison but `known` is unknown when the fact is.
    `says` is the sentence when the comparison holds, `otherwise` when it does not. `range` tells
    how far sources differ about the limit.
    `error` is the fact's own measurement error in its canonical unit: a value nearer to a numeric
    limit than that is a close call. `path` names the leaf in its file, such as `need.all.0`.
    """

    fact: str
    comparison: Comparison
    limit: Limit | tuple[Limit, ...]
    says: str = ""
    otherwise: str = ""
    evidence: tuple[str, ...] = ()
    range: str = ""
    error: float = 0.0
    path: str = ""
    place: Place | None = None


class Group(Record, frozen=True):
    """all: every part; any: at least one part; none: no part. `parts` is never empty."""

    how: Grouping
    parts: tuple[Condition, ...]


Condition = Leaf | Group


def leaves(condition: Condition) -> Iterator[Leaf]:
    """Every leaf of a tree, in file order."""
    if isinstance(condition, Leaf):
        yield condition
        return
    for part in condition.parts:
        yield from leaves(part)


def facts_of(condition: Condition) -> frozenset[str]:
    """The names of the facts that a tree reads."""
    return frozenset(leaf.fact for leaf in leaves(condition))
