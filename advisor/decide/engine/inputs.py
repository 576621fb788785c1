"""What a table or an effect may read, and the proof that a table covers each case just once."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from functools import lru_cache
from itertools import product

from advisor.base.problems import did_you_mean
from advisor.decide.engine.encode import Holds, formula_signal
from advisor.decide.engine.model import (
    CONCLUSION,
    TRUTH_STATES,
    UNKNOWN,
    FactKind,
    RuleSetError,
    Table,
)

_SHOWN = 3
States = tuple[str, ...]


def kind_states(kind: FactKind) -> tuple[str, ...]:
    """The states of a flag or choice fact; `unknown` is the last. Empty for other kinds."""
    return {"flag": TRUTH_STATES, "choice": (*kind.values, UNKNOWN)}.get(kind.kind, ())


class Inputs:
    """Formulas, flag and choice facts, and the table's conclusion, each with its states."""

    def __init__(
        self,
        formulas: Collection[str],
        kinds: Mapping[str, FactKind],
        conclusions: Iterable[str] = (),
    ) -> None:
        self._formulas = formulas
        self._kinds = kinds
        self.conclusions = tuple(dict.fromkeys(conclusions))
        self.formulas_read: set[str] = set()
        self.facts_read: set[str] = set()

    def states(self, name: str) -> tuple[str, ...]:
        """All states of an input. Raises `RuleSetError` for a name that is no input."""
        if name == CONCLUSION and self.conclusions:
            return self.conclusions
        kind = self._kinds.get(name)
        if name in self._formulas:
            if kind is not None:
                raise RuleSetError(f"input '{name}' is both a formula and a fact; rename one")
            return TRUTH_STATES
        if kind is None:
            near = did_you_mean(name, [*self._formulas, *self._kinds])
            raise RuleSetError(f"input '{name}' is neither a formula nor a fact{near}")
        if not kind_states(kind):
            raise RuleSetError(f"input '{name}' is a {kind.kind}, which has no states")
        return kind_states(kind)

    def wanted(self, name: str, text: str) -> tuple[str, ...]:
        """The states that a text such as `true|unknown` asks for. Raises `RuleSetError`."""
        states = self.states(name)
        wanted = tuple(dict.fromkeys(text.split("|")))
        for state in wanted:
            if state not in states:
                near = did_you_mean(state, states) or f"; it has {', '.join(states)}"
                raise RuleSetError(f"'{name}' has no state '{state}'{near}")
        return wanted

    def holds(self, name: str, states: Iterable[str]) -> Holds:
        """The antecedent that the input is in one of these states."""
        order = self.states(name)
        if name in self._formulas:
            self.formulas_read.add(name)
        elif name != CONCLUSION:
            self.facts_read.add(name)
        return Holds(self.signal(name), tuple(order.index(state) for state in states))

    def signal(self, name: str) -> str:
        """The derived signal that carries an input's state."""
        if name in self._formulas:
            return formula_signal(name)
        return CONCLUSION if name == CONCLUSION else f"state {name}"


def check_table(table: Table, inputs: Inputs) -> tuple[dict[str, tuple[str, ...]], ...]:
    """Each row's wanted states by input.

    Raises `RuleSetError` unless every combination of states falls in exactly one row; the message
    names combinations that fall in none, or in two.
    """
    for name, states in table.inputs.items():
        full = inputs.states(name)
        if sorted(states) != sorted(full):
            found, wanted = ", ".join(states), ", ".join(full)
            raise RuleSetError(f"input '{name}' of the table has states {found}; wanted {wanted}")
    rows = []
    for when, _ in table.rows:
        for name in when:
            if name not in table.inputs:
                near = did_you_mean(name, table.inputs)
                raise RuleSetError(f"a row of the table reads '{name}', which is no input{near}")
        rows.append({name: inputs.wanted(name, text) for name, text in when.items()})
    said = _unproven(tuple(table.inputs.items()), tuple(tuple(row.items()) for row in rows))
    if said:
        raise RuleSetError(said)
    return tuple(rows)


@lru_cache(maxsize=16)
def _unproven(
    inputs: tuple[tuple[str, States], ...], rows: tuple[tuple[tuple[str, States], ...], ...]
) -> str:
    """What keeps each combination of states from falling in exactly one row; empty if nothing.

    Kept, because all operations share one table and the proof takes longer than an answer.
    """
    names = [name for name, _ in inputs]
    missing, twice = [], []
    for states in product(*(states for _, states in inputs)):
        case = dict(zip(names, states, strict=True))
        hits = [i for i, row in enumerate(rows, 1) if all(case[n] in wanted for n, wanted in row)]
        if len(hits) == 1:
            continue
        said = ", ".join(f"{name}={state}" for name, state in case.items())
        if hits:
            twice.append(f"{said} (rows {', '.join(map(str, hits))})")
        else:
            missing.append(said)
    problems = (_listed("no row of the table covers", missing), _listed("rows overlap at", twice))
    return "; ".join(filter(None, problems))


def _listed(head: str, cases: list[str]) -> str:
    if not cases:
        return ""
    more = f" and {len(cases) - _SHOWN} more" if len(cases) > _SHOWN else ""
    return f"{head} {' / '.join(cases[:_SHOWN])}{more}"
