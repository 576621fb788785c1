"""Which unknowns matter, what is too close to call, and which one change would turn the answer.

All of it is found by reading the same tree again with one fact changed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from advisor.base.record import Record
from advisor.decide.engine.model import FactKind, Values, is_known
from advisor.decide.engine.plain import deciding_leaves, trace, truth
from advisor.facts.fact import Value
from advisor.rulebook.conditions import NUMERIC, Condition, Leaf, Truth, leaves


class Flip(Record, frozen=True):
    """Were `leaf`'s fact `to`, the leaf would change and the tree's truth become `truth`.

    For a number `to` is the nearest such value, at the leaf's limit or one rounding step past it:
    say the limit to the keeper, not `to`. For a choice it is the first such value.
    """

    leaf: Leaf
    to: Value
    truth: bool


def unknown_that_matter(
    condition: Condition, values: Values, kinds: Mapping[str, FactKind]
) -> tuple[str, ...]:
    """Unknown facts that could change the tree's truth: first those that could do it alone.

    After them come those that matter only together with another unknown fact, such as either of
    two unknown parts of an `all` on its own cannot make it true. Each group is in file order.
    """
    now = truth(condition, values)
    facts = dict.fromkeys(leaf.fact for leaf in leaves(condition))
    missing = [fact for fact in facts if not is_known(values.get(fact))]
    alone = [
        fact
        for fact in missing
        if any(then != now for _, then in outcomes(condition, values, fact, kinds[fact]))
    ]
    if now is not None:
        return tuple(alone)
    carrying = {found.leaf.fact for found in deciding_leaves(trace(condition, values))}
    return (*alone, *(fact for fact in missing if fact in carrying and fact not in alone))


def outcomes(
    condition: Condition, values: Values, fact: str, kind: FactKind
) -> tuple[tuple[Value, Truth], ...]:
    """The tree's truth at each of the fact's `representatives`, all other facts as they are."""
    return tuple(
        (value, truth(condition, {**values, fact: value}))
        for value in representatives(leaves(condition), fact, kind)
    )


def representatives(among: Iterable[Leaf], fact: str, kind: FactKind) -> tuple[Value, ...]:
    """Known values of a fact that give every set of answers which its leaves can give.

    Numbers: each limit and the nearest floats on both sides, rising. Dates: likewise whole days.
    Flags and choices: all values.
    """
    if kind.kind == "flag":
        return (False, True)
    if kind.kind == "choice":
        return kind.values
    near: set[float] = set()
    for leaf in among:
        if leaf.fact == fact and leaf.comparison != "known":
            for limit in leaf.limit if isinstance(leaf.limit, tuple) else (leaf.limit,):
                near.update(_around(float(limit), whole=kind.kind == "date"))
    return tuple(sorted(v for v in near if math.isfinite(v))) or (0.0,)


def close_calls(condition: Condition, values: Values) -> tuple[Leaf, ...]:
    """Leaves whose known number is nearer to the limit than its measurement error."""
    return tuple(leaf for leaf in leaves(condition) if _is_close(leaf, values.get(leaf.fact)))


def flips(
    condition: Condition,
    values: Values,
    changeable: frozenset[str],
    kinds: Mapping[str, FactKind],
) -> tuple[Flip, ...]:
    """Single changes of one changeable fact that turn a leaf and with it the tree.

    One for each leaf and new truth of the tree, in file order. A change that only makes the tree
    unknown is none.
    """
    now = truth(condition, values)
    found: dict[tuple[Leaf, bool], Flip] = {}
    for leaf in leaves(condition):
        if leaf.fact not in changeable:
            continue
        value = values.get(leaf.fact)
        options = outcomes(condition, values, leaf.fact, kinds[leaf.fact])
        for to, then in sorted(options, key=lambda option: _distance(option[0], value)):
            turns = truth(leaf, {leaf.fact: to}) != truth(leaf, {leaf.fact: value})
            if turns and then is not None and then != now:
                found.setdefault((leaf, then), Flip(leaf, to, then))
    return tuple(found.values())


def _around(limit: float, *, whole: bool) -> tuple[float, ...]:
    if whole:
        return tuple(float(math.floor(limit) + step) for step in (-1, 0, 1, 2))
    return (math.nextafter(limit, -math.inf), limit, math.nextafter(limit, math.inf))


def _is_close(leaf: Leaf, value: Value | None) -> bool:
    if leaf.comparison not in NUMERIC or not is_known(value):
        return False
    if isinstance(leaf.limit, tuple):
        return False
    return abs(float(value) - float(leaf.limit)) < leaf.error


def _distance(to: Value, value: Value | None) -> float:
    """How far a number would have to move; other values keep their order."""
    if isinstance(to, str) or value is None or isinstance(value, str) or not is_known(value):
        return 0.0
    return abs(float(to) - float(value))
