"""A whole program read plainly, without the engine: the reference that the engine is held to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.engine.errors import RuleSetError
from advisor.engine.model import (
    CONCLUSION,
    UNKNOWN,
    Combination,
    Effect,
    Evaluation,
    Formula,
    Table,
    Values,
    is_known,
)
from advisor.engine.trace import group_truth, truth
from advisor.facts.fact import Value
from advisor.rulebook.conditions import Truth


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
