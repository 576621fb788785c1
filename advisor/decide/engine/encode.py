"""Values, comparisons and formulas as the engine's text: integers, plain decimals, nothing else.

A formula becomes two: one fires when it is true, the other when it is false. Both are in negation
normal form: a negation is pushed down to the comparisons, which are replaced by their complements.
A comparison needs a known value, so when neither rail fires the formula is unknown. That is
Kleene's logic, and it needs no negation in the engine.

The engine reads `1e-05` as an error, text as text ("10" equals 10) and whole numbers beyond 2**53
inexactly, so a value reaches it only through `value_text`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from decimal import Decimal

from advisor.base.record import Record
from advisor.decide.engine.model import Combination, FactError, FactKind, Formula, RuleSetError
from advisor.facts.fact import Value
from advisor.rulebook.conditions import NUMERIC, Comparison, Leaf, Limit

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


_OPERATOR: dict[Comparison, str] = {
    "over": "$gt",
    "under": "$lt",
    "at_least": "$gte",
    "at_most": "$lte",
    "is_not": "$neq",
    "none_of": "$neq",
}
_EXACT = 2**53
FACTS_READ, GATES_CLOSED = 0, 1  # codes of the two sentinels


def number_text(number: Value) -> str:
    """A number in positional decimals that read back as the same number. Raises `FactError`."""
    if isinstance(number, bool) or not isinstance(number, (int, float)):
        raise FactError(f"{number!r} is not a number")
    if not math.isfinite(number):
        raise FactError(f"{number!r} is not a finite number")
    if number == int(number) and abs(number) <= _EXACT:
        return str(int(number))
    if isinstance(number, int):
        raise FactError(f"whole number {number} is beyond 2**53")
    text = format(Decimal(repr(float(number))), "f")
    return text if "." in text else f"{text}.0"


def value_text(value: Value, kind: FactKind) -> str:
    """A known value of a fact of this kind. Raises `FactError` if it is not of the kind."""
    if kind.kind == "choice":
        if not isinstance(value, str) or value not in kind.values:
            raise FactError(f"{value!r} is none of {', '.join(kind.values)}")
        return str(kind.values.index(value))
    if kind.kind == "flag":
        if not isinstance(value, bool):
            raise FactError(f"{value!r} is neither True nor False")
        return str(int(value))
    return number_text(value)


def comparisons(test: Test, kind: FactKind) -> list[str]:
    """The engine's comparisons for a test, all of which must hold. Raises `RuleSetError`."""
    if test.comparison == "known":
        return []
    if test.comparison in NUMERIC and kind.kind in ("flag", "choice"):
        raise RuleSetError(f"fact '{test.fact}' is a {kind.kind}; '{test.comparison}' needs order")
    try:
        texts = list(dict.fromkeys(value_text(limit, kind) for limit in test.limits))
    except FactError as error:
        raise RuleSetError(f"fact '{test.fact}': limit {error}") from None
    if test.comparison in ("is", "one_of"):
        return [equal_to_one(texts)]
    operator = _OPERATOR[test.comparison]
    return [f'{{"{operator}":{{"v":{text}}}}}' for text in texts]


def equal_to_one(texts: Sequence[str]) -> str:
    """`v` equals one of some different values."""
    each = [f'{{"v":{text}}}' for text in texts]
    return each[0] if len(each) == 1 else f'{{"$or":[{",".join(each)}]}}'


def pattern(code: int, tests: Sequence[str] = ()) -> str:
    """Matches the fact with this code whose value passes all tests."""
    return f'{{"$and":[{{"s":{code}}},{",".join(tests)}]}}' if tests else f'{{"s":{code}}}'


def fact_text(code: int, value: str | None = None) -> str:
    """The fact with this code. Its identifier is fixed, so that it cannot be asserted twice."""
    shown = "" if value is None else f'"v":{value},'
    return f'{{"s":{code},{shown}"id":"i{code}"}}'
