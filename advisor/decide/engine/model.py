"""What the engine is given and what it gives back, in plain data.

Truth is three-valued after Kleene (1952), *Introduction to Metamathematics*, section 64.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Literal, TypeGuard

from advisor.base.record import Record
from advisor.facts.fact import Value
from advisor.rulebook.conditions import Condition, Grouping, Truth


class RuleSetError(ValueError):
    """Formulas, table or effects that do not fit together, or are too many for one rule set."""


class FactError(ValueError):
    """A fact's value that is not of the fact's kind."""


class EngineFault(RuntimeError):
    """The engine did something it must not. Its handle has been thrown away."""


class EngineMissing(RuntimeError):
    """The engine cannot be loaded. The message says what to install."""


Kind = Literal["number", "flag", "choice", "date"]
Values = Mapping[str, Value | None]

CONCLUSION = "conclusion"
UNKNOWN = "unknown"
TRUTH_STATES = ("false", "true", UNKNOWN)


class FactKind(Record, frozen=True):
    """number: in the canonical unit; flag: true or false; choice: one of `values`; date: ordinal.

    A date's ordinal is that of `datetime.date.toordinal`.
    """

    kind: Kind
    values: tuple[str, ...] = ()


class Combination(Record, frozen=True):
    """A formula over other formulas, by name.

    all: every one holds; any: at least one does; none: not one does. Over no formulas, `all` and
    `none` are true and `any` is false.
    """

    how: Grouping
    of: tuple[str, ...]


Formula = Condition | Combination


class Table(Record, frozen=True):
    """From the states of some inputs to one conclusion.

    inputs: each input's name and all its states. An input is a formula or a flag fact (`false`,
        `true`, `unknown`), or a choice fact (its values and `unknown`).
    rows: what the inputs must be and what follows. A state may be several, such as
        `true|unknown`; an input that a row does not name may be anything. Every combination of
        states must fall in exactly one row, so that their order means nothing.
    """

    inputs: Mapping[str, tuple[str, ...]]
    rows: Sequence[tuple[Mapping[str, str], str]]


class Effect(Record, frozen=True):
    """`flag` is true when every input named in `when` is in one of the states given there.

    Inputs are those of a table, or `conclusion` (the table's). Several effects with one flag are
    alternatives. An input that is unknown, where `when` does not ask for that, leaves the flag
    unknown unless something else decides it.
    """

    flag: str
    when: Mapping[str, str]


class Evaluation(Record, frozen=True):
    """What follows from one day's facts.

    truths: of each formula. conclusion: of the table; empty if the program has none.
    effects: the truth of each flag.
    """

    truths: Mapping[str, Truth]
    conclusion: str
    effects: Mapping[str, Truth]


def is_known(value: Value | None) -> TypeGuard[Value]:
    """Whether a fact's value is known: neither None nor a float's not-a-number."""
    return value is not None and value == value
