"""Formulas, table and effects as one rule set of the engine.

The engine chains forward: comparisons of facts → formulas → the table's conclusion → effects. All
its rules are positive, so they can conclude that a formula is true or that it is false, but not
that neither follows. The session therefore evaluates in two passes over one state of the engine:
when the first has run dry, each formula that the table or an effect reads and that is neither true
nor false is asserted as *known to be unknown*, and the chain goes on from there. No formula reads
what the table or an effect concludes, so the order in which facts arrive means nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from graphlib import CycleError, TopologicalSorter

from advisor.base.problems import did_you_mean
from advisor.decide.engine.encode import Node, either_of, every_of, formula_signal, rail
from advisor.decide.engine.inputs import Inputs, check_table
from advisor.decide.engine.model import (
    CONCLUSION,
    UNKNOWN,
    Combination,
    Effect,
    FactKind,
    Formula,
    RuleSetError,
    Table,
)
from advisor.decide.engine.program import Program
from advisor.decide.engine.ruleset import RuleSet


def compile_program(
    formulas: Mapping[str, Formula],
    kinds: Mapping[str, FactKind],
    table: Table | None = None,
    effects: Sequence[Effect] = (),
) -> Program:
    """Compile formulas over facts of these kinds, with an optional table and its effects.

    Raises `RuleSetError` for a formula over a missing or circular formula, a fact without a kind,
    a comparison that does not fit its fact, a table that is incomplete or ambiguous, an effect of
    unknown states, or a rule set beyond the engine's bounds.
    """
    _check_references(formulas)
    inputs = Inputs(formulas, kinds, [conclusion for _, conclusion in table.rows] if table else ())
    rules = RuleSet(kinds)
    for name, formula in formulas.items():
        for value in (True, False):
            rules.conclude(rail(formula, value), formula_signal(name), int(value))
    if table:
        for row, (_, conclusion) in zip(check_table(table, inputs), table.rows, strict=True):
            node = every_of(inputs.holds(name, states) for name, states in row.items())
            rules.conclude(node, CONCLUSION, inputs.conclusions.index(conclusion))
    for flag, alternatives in _by_flag(effects).items():
        for value in (True, False):
            rules.conclude(_effect(alternatives, inputs, value), _effect_signal(flag), int(value))
    return _program(rules, inputs, formulas, kinds, effects)


def _program(
    rules: RuleSet,
    inputs: Inputs,
    formulas: Mapping[str, Formula],
    kinds: Mapping[str, FactKind],
    effects: Sequence[Effect],
) -> Program:
    values = rules.fact_codes()
    states = {name: rules.code(inputs.signal(name)) for name in sorted(inputs.facts_read)}
    read = values.keys() | rules.unknown.keys() | states.keys()
    return Program(
        rules=rules.text(),
        concludes=rules.concludes,
        read=frozenset(rules.read),
        kinds={name: kind for name, kind in kinds.items() if name in read},
        values=values,
        unknown=rules.unknown,
        states=states,
        closed=tuple(rules.code(inputs.signal(name)) for name in sorted(inputs.formulas_read)),
        formulas={name: rules.code(formula_signal(name)) for name in formulas},
        effects={effect.flag: rules.code(_effect_signal(effect.flag)) for effect in effects},
        conclusion=rules.code(CONCLUSION) if inputs.conclusions else None,
        conclusions=inputs.conclusions,
    )


def _check_references(formulas: Mapping[str, Formula]) -> None:
    if CONCLUSION in formulas:
        raise RuleSetError(f"no formula may be called '{CONCLUSION}'; that is the table's own")
    graph = {n: f.of for n, f in formulas.items() if isinstance(f, Combination)}
    for name, parts in graph.items():
        for part in parts:
            if part not in formulas:
                near = did_you_mean(part, formulas)
                raise RuleSetError(f"formula '{name}' reads '{part}', which is no formula{near}")
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        raise RuleSetError(f"formulas go in a circle: {' → '.join(error.args[1])}") from None


def _by_flag(effects: Sequence[Effect]) -> dict[str, list[Effect]]:
    grouped: dict[str, list[Effect]] = {}
    for effect in effects:
        grouped.setdefault(effect.flag, []).append(effect)
    return grouped


def _effect(alternatives: Sequence[Effect], inputs: Inputs, positive: bool) -> Node:
    """True when an alternative holds; false when each has an input in a known, other state."""
    if positive:
        return either_of(
            every_of(inputs.holds(n, inputs.wanted(n, text)) for n, text in effect.when.items())
            for effect in alternatives
        )
    return every_of(
        either_of(
            inputs.holds(name, other)
            for name, text in effect.when.items()
            if (other := _others(inputs, name, text))
        )
        for effect in alternatives
    )


def _others(inputs: Inputs, name: str, text: str) -> tuple[str, ...]:
    wanted = inputs.wanted(name, text)
    return tuple(s for s in inputs.states(name) if s != UNKNOWN and s not in wanted)


def _effect_signal(flag: str) -> str:
    return f"effect {flag}"
