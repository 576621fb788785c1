"""A compiled rule set: the rules as text, and what its codes mean, as compiled last.

A program is kept under all that it was compiled from and the code of the compiler. What is kept is
read as a `Program`, with each part of its own type, or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from advisor.base.cache import code_of, keep_keyed, key_of, read_keyed
from advisor.base.record import Record
from advisor.decide.engine.encode import fact_text, value_text
from advisor.decide.engine.inputs import kind_states
from advisor.decide.engine.model import (
    Effect,
    Evaluation,
    FactError,
    FactKind,
    Formula,
    Table,
    Values,
    is_known,
)
from advisor.rulebook.conditions import Truth

_TRUTH: dict[int, Truth] = {0: False, 1: True}


class Program(Record, frozen=True):
    """The engine's rules as JSON, and the codes of all that goes in and comes out.

    concludes: for each rule, the derived code and the value it gives it.
    values, unknown, states: the codes under which a fact's value, its being unknown, and its state
        as an input of the table are asserted.
    closed: codes of the formulas that a second pass may find *known to be unknown*.
    read: derived codes that some rule reads.
    """

    rules: str
    concludes: Mapping[str, tuple[int, int]]
    read: frozenset[int]
    kinds: Mapping[str, FactKind]
    values: Mapping[str, tuple[int, ...]]
    unknown: Mapping[str, int]
    states: Mapping[str, int]
    closed: tuple[int, ...]
    formulas: Mapping[str, int]
    effects: Mapping[str, int]
    conclusion: int | None
    conclusions: tuple[str, ...]

    def facts(self, values: Values) -> list[str]:
        """The engine's facts for these values; facts that no rule reads are left out.

        Raises `FactError` for a value that is not of its fact's kind.
        """
        found: list[str] = []
        for name, kind in self.kinds.items():
            value = values.get(name)
            if not is_known(value):
                state = str(len(kind_states(kind)) - 1)
                if name in self.unknown:
                    found.append(fact_text(self.unknown[name], "1"))
            else:
                try:
                    state = value_text(value, kind)
                except FactError as error:
                    raise FactError(f"fact '{name}': {error}") from None
                found += [fact_text(code, state) for code in self.values.get(name, ())]
            if name in self.states:
                found.append(fact_text(self.states[name], state))
        return found

    def evaluation(self, derived: Mapping[int, int]) -> Evaluation:
        """What the derived codes mean."""
        row = derived.get(self.conclusion) if self.conclusion is not None else None
        return Evaluation(
            {name: _TRUTH.get(derived.get(code, 2)) for name, code in self.formulas.items()},
            "" if row is None else self.conclusions[row],
            {name: _TRUTH.get(derived.get(code, 2)) for name, code in self.effects.items()},
        )


_CODE = ("decide/engine",)


def kept_program(
    name: str,
    formulas: Mapping[str, Formula],
    kinds: Mapping[str, FactKind],
    table: Table,
    effects: Sequence[Effect],
) -> Program:
    """As `compile_program` compiles it, or as it did before. Raises `RuleSetError` like it.

    name: under which one program is kept, the newest; empty to keep none.
    """
    key = ""
    if name:
        key = key_of(code_of(*_CODE), repr((formulas, kinds, table, effects)))
        found = _read(name, key)
        if found is not None:
            return found
    # Only what was never compiled pays for the compiler.
    from advisor.decide.engine.compile import compile_program

    program = compile_program(formulas, kinds, table, effects)
    if name:
        keep_keyed(name, key, msgspec.json.encode(program))
    return program


def _read(name: str, key: str) -> Program | None:
    raw = read_keyed(name, key)
    try:
        return None if raw is None else msgspec.json.decode(raw, type=Program)
    except msgspec.MsgspecError:
        return None
