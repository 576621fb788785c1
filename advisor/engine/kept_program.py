"""Programs as they were compiled last: text and numbers, with nothing in them that could run.

A program is kept under all that it was compiled from and the code of the compiler. What is kept is
read as a `Program`, with each part of its own type, or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import msgspec

from advisor.base.keyed import code_of, keep_keyed, key_of, read_keyed
from advisor.engine.model import Effect, FactKind, Formula, Table
from advisor.engine.program import Program

_CODE = ("engine",)


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
    from advisor.engine.compile import compile_program

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
