"""Values and comparisons as the engine's text: integers, plain decimals and nothing else.

The engine reads `1e-05` as an error, text as text ("10" equals 10) and whole numbers beyond 2**53
inexactly, so a value reaches it only through `value_text`.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal

from advisor.engine.errors import FactError, RuleSetError
from advisor.engine.model import FactKind
from advisor.engine.rails import Test
from advisor.facts.fact import Value
from advisor.rulebook.conditions import NUMERIC, Comparison

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
