"""The only module that talks to the engine. `docs/engine.md` says what it must never be given."""

from __future__ import annotations

import locale
import os
import sys
import threading
from collections.abc import Sequence
from types import ModuleType, TracebackType
from typing import Any

from advisor.decide.engine.encode import FACTS_READ, GATES_CLOSED, fact_text
from advisor.decide.engine.model import EngineFault, EngineMissing, Evaluation, Values
from advisor.decide.engine.program import Program

_STATE = "0"  # the one state's name; a state for each site would be told apart by a 32-bit hash
_UNMATCHED = 1  # "no rule reads this": normal. 2 would be "this is already there".
_KNOWN_UNKNOWN = "2"
_DROPPED = "PyEval_CallObject"  # gone from CPython 3.13; only used by callbacks that we never set


class Session:
    """Evaluates one program. Safe to share between threads and to keep over a fork."""

    def __init__(self, program: Program) -> None:
        self.program = program
        self._lock = threading.Lock()
        self._process = os.getpid()
        self._handle: int | None = None

    def __enter__(self) -> Session:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        self.close()

    def evaluate(self, values: Values) -> Evaluation:
        """What follows from the values of one day's facts; a fact that is not given is unknown.

        Raises `FactError` for a value of the wrong kind, `EngineMissing` if the engine cannot be
        loaded, and `EngineFault` if it misbehaves.
        """
        facts = self.program.facts(values)
        self._leave_parent()
        with self._lock:
            engine = load_engine()
            _read_decimals_with_points()
            try:
                derived = self._run(engine, facts)
            except BaseException as error:
                # A state that was left in the middle stays locked, and may be damaged.
                self._handle = None
                if isinstance(error, Exception) and not isinstance(error, EngineFault):
                    raise EngineFault(f"the rule engine failed: {error}") from error
                raise
        return self.program.evaluation(derived)

    def close(self) -> None:
        """Free the engine's memory. The session may be used again."""
        self._leave_parent()
        with self._lock:
            if self._handle is not None:
                load_engine().delete_ruleset(self._handle)
            self._handle = None

    def _leave_parent(self) -> None:
        """In a child of a fork the parent's lock may stay held for ever; take a new one."""
        if self._process != os.getpid():
            self._process, self._lock, self._handle = os.getpid(), threading.Lock(), None

    def _run(self, engine: Any, facts: Sequence[str]) -> dict[int, int]:
        if self._handle is None:
            self._handle = engine.create_ruleset("advisor", self.program.rules)
        derived: dict[int, int] = {}
        self._chain(engine, [*facts, fact_text(FACTS_READ)], FACTS_READ, derived)
        closed = self.program.closed
        if closed or self.program.conclusion is not None:
            unknown = [fact_text(code, _KNOWN_UNKNOWN) for code in closed if code not in derived]
            self._chain(engine, [*unknown, fact_text(GATES_CLOSED)], GATES_CLOSED, derived)
        if self.program.conclusion is not None and self.program.conclusion not in derived:
            raise EngineFault("the table came to no conclusion")
        # Never retract_facts, which writes out of bounds. Deleting the state is safe because a
        # sentinel has fired in it.
        engine.delete_state(self._handle, _STATE)
        return derived

    def _chain(
        self, engine: Any, batch: Sequence[str], sentinel: int, derived: dict[int, int]
    ) -> None:
        """Assert a batch and follow its rules to the end.

        The batch ends with a sentinel: the engine drops what follows a fact it cannot read without
        a word, so only the sentinel's own rule proves that all was read.
        """
        status, offset = engine.assert_facts(self._handle, f"[{','.join(batch)}]")
        if status not in (0, _UNMATCHED):
            raise EngineFault(f"the rule engine answered {status} to its facts")
        action = engine.start_action_for_state(self._handle, offset)
        message = action[1] if action else None
        whole = False
        steps = 0
        while message:
            name = message[2 : message.index('"', 2)]
            if name == f"end{sentinel}":
                whole = True
            else:
                self._conclude(engine, name, derived)
            steps += 1
            if steps > 10 * len(self.program.concludes) + 10:
                raise EngineFault("the rule engine does not come to an end")
            message = engine.complete_and_start_action(self._handle, offset)
        if not whole:
            raise EngineFault("the rule engine dropped some of its facts")

    def _conclude(self, engine: Any, rule: str, derived: dict[int, int]) -> None:
        code, value = self.program.concludes[rule]
        if code not in derived:
            derived[code] = value
            if code in self.program.read:
                engine.assert_fact(self._handle, fact_text(code, str(value)))
        elif derived[code] != value:
            raise EngineFault(f"the rule engine contradicts itself: rule {rule}")


def load_engine() -> ModuleType:
    """The engine's C module. Raises `EngineMissing` with what to install."""
    try:
        import durable_rules_engine
    except ImportError as error:
        return _load_lazily(error)
    return durable_rules_engine  # type: ignore[no-any-return]


def _load_lazily(error: ImportError) -> ModuleType:
    """Load a module built for an older Python, whose one missing function is never called."""
    if _DROPPED in str(error) and hasattr(sys, "setdlopenflags"):
        flags = sys.getdlopenflags()
        sys.setdlopenflags(os.RTLD_LAZY)
        try:
            import durable_rules_engine

            return durable_rules_engine  # type: ignore[no-any-return]
        except ImportError:
            pass
        finally:
            sys.setdlopenflags(flags)
    raise EngineMissing(_what_to_install(error)) from error


def _what_to_install(error: ImportError) -> str:
    new = sys.version_info >= (3, 13)
    define = f'CPPFLAGS="-D{_DROPPED}=PyObject_CallObject" ' if new else ""
    purge = "`pip cache remove durable_rules`, then " if _DROPPED in str(error) else ""
    return (
        f"the rule engine cannot be loaded ({error}): install a C compiler and Python's headers, "
        f"then run {purge}`{define}pip install --force-reinstall --no-deps durable-rules`"
    )


def _read_decimals_with_points() -> None:
    """Make the C library read `12.5` as twelve and a half.

    In a locale with a decimal comma it would stop at the point. Python leaves the numeric locale
    alone unless some library sets it, and this program needs none, so it goes back to plain C.
    """
    if locale.localeconv()["decimal_point"] != ".":
        locale.setlocale(locale.LC_NUMERIC, "C")
        if locale.localeconv()["decimal_point"] != ".":
            raise EngineFault("the numeric locale has no decimal point and cannot be changed")
