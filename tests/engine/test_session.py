"""What the session answers, and that it throws the engine's handle away when anything is odd."""

from __future__ import annotations

import builtins
import json
import locale
import os
import sys
from itertools import product
from types import SimpleNamespace
from typing import Any

import pytest

from advisor.base.record import replace
from advisor.decide.engine import session as session_module
from advisor.decide.engine.compile import compile_program
from advisor.decide.engine.model import (
    Combination,
    EngineFault,
    EngineMissing,
    Evaluation,
    FactError,
    FactKind,
)
from advisor.decide.engine.plain import evaluate_plainly
from advisor.decide.engine.session import Session, load_engine
from advisor.rulebook.conditions import Leaf

ALLOWED = {
    "create_ruleset",
    "delete_ruleset",
    "assert_facts",
    "assert_fact",
    "start_action_for_state",
    "complete_and_start_action",
    "delete_state",
}


def test_every_state_of_the_table(small: dict[str, Any]) -> None:
    """All 3 × 4 × 3 × 3 states, and both ways of being unknown, give what the plain reader says."""
    cases = product(
        (0.0, 20.0, None), ("before", "open", "over", None), (False, True, None), (0.1, 0.5, None),
        (False, True, None),
    )  # fmt: skip
    seen = set()
    with Session(compile_program(**small)) as session:
        for thatch, window, law, moisture, wanted in cases:
            values = {
                "thatch": thatch, "window_state": window, "law": law, "moisture": moisture,
                "wanted": wanted,
            }  # fmt: skip
            found = session.evaluate(values)
            plain = {k: small[k] for k in ("formulas", "table", "effects")}
            assert found == evaluate_plainly(values=values, **plain)
            seen.add(found.conclusion)
    assert seen == {"not_needed", "missed", "wait", "ruled_out", "measure", "hold", "do"}


def test_one_case_in_full(small: dict[str, Any]) -> None:
    with Session(compile_program(**small)) as session:
        found = session.evaluate({"thatch": 20.0, "window_state": "open", "law": False})
    assert found == Evaluation(
        {"need": True, "ready": None, "conflict.law": False, "conflict": False},
        "measure",
        {"intended": True, "done_with": False},
    )


def test_effects_are_unknown_when_their_inputs_are(small: dict[str, Any]) -> None:
    with Session(compile_program(**small)) as session:
        assert session.evaluate({"window_state": "open"}).effects["intended"] is None
        assert session.evaluate({"wanted": False, "thatch": 0.0}).effects["intended"] is False
        assert session.evaluate({"wanted": True}).effects["intended"] is True


def test_formulas_of_nothing() -> None:
    formulas = {how: Combination(how, ()) for how in ("all", "any", "none")}
    with Session(compile_program(formulas, {})) as session:
        assert session.evaluate({}) == Evaluation({"all": True, "any": False, "none": True}, "", {})


def test_facts_that_no_rule_reads_are_ignored(small: dict[str, Any]) -> None:
    with Session(compile_program(**small)) as session:
        assert session.evaluate({"spare": object()}) == session.evaluate({})


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"thatch": "12"}, "fact 'thatch': '12' is not a number"),
        ({"thatch": True}, "fact 'thatch': True is not a number"),
        ({"thatch": float("inf")}, "fact 'thatch': inf is not a finite number"),
        ({"law": 1}, "fact 'law': 1 is neither True nor False"),
        ({"window_state": "ajar"}, "fact 'window_state': 'ajar' is none of before, open, over"),
    ],
)
def test_values_of_the_wrong_kind(
    small: dict[str, Any], values: dict[str, Any], message: str
) -> None:
    with Session(compile_program(**small)) as session, pytest.raises(FactError) as refused:
        session.evaluate(values)
    assert str(refused.value) == message


def test_not_a_number_is_unknown(small: dict[str, Any]) -> None:
    with Session(compile_program(**small)) as session:
        assert session.evaluate({"thatch": float("nan")}) == session.evaluate({})


def test_only_safe_functions_of_the_engine_are_called(
    small: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    """No retracting, no events, no timers, no callbacks: each of those corrupts memory."""
    called = set()

    class Watched:
        def __getattr__(self, name: str) -> Any:
            called.add(name)
            return getattr(load_engine(), name)

    monkeypatch.setattr(session_module, "load_engine", Watched)
    with Session(compile_program(**small)) as session:
        session.evaluate({})
        session.evaluate({"thatch": 20.0, "window_state": "open", "law": False, "moisture": 0.5})
    assert called == ALLOWED


def test_every_batch_ends_with_its_sentinel(
    small: dict[str, Any], monkeypatch: pytest.MonkeyPatch
) -> None:
    batches: list[Any] = []

    def watch(handle: int, text: str) -> Any:
        batches.append(json.loads(text))
        return load_engine().assert_facts(handle, text)

    monkeypatch.setattr(session_module, "load_engine", lambda: broken_engine(assert_facts=watch))
    with Session(compile_program(**small)) as session:
        session.evaluate({"thatch": 20.0, "window_state": "open"})
    assert [batch[-1] for batch in batches] == [{"s": 0, "id": "i0"}, {"s": 1, "id": "i1"}]


def broken_engine(**changes: Any) -> SimpleNamespace:
    real = load_engine()
    return SimpleNamespace(**{name: getattr(real, name) for name in ALLOWED} | changes)


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({"assert_facts": lambda *_: (2, 0)}, "answered 2"),
        ({"start_action_for_state": lambda *_: None}, "dropped some of its facts"),
        ({"assert_fact": lambda *_: 1 / 0}, "failed: division by zero"),
        ({"complete_and_start_action": lambda *_: '{"r0":{}}'}, "contradicts|come to an end"),
        ({"complete_and_start_action": lambda *_: '{"r999":{}}'}, "failed: 'r999'"),
    ],
)
def test_a_fault_is_reported_and_the_handle_discarded(
    small: dict[str, Any],
    monkeypatch: pytest.MonkeyPatch,
    changes: dict[str, Any],
    message: str,
) -> None:
    values = {"thatch": 20.0, "window_state": "open", "law": False, "moisture": 0.5}
    with Session(compile_program(**small)) as session:
        good = session.evaluate(values)
        with monkeypatch.context() as patch:
            patch.setattr(session_module, "load_engine", lambda: broken_engine(**changes))
            with pytest.raises(EngineFault, match=message):
                session.evaluate(values)
        assert session._handle is None
        assert session.evaluate(values) == good


def test_a_rule_that_contradicts_another_is_a_fault() -> None:
    program = compile_program({"f": Leaf("n", "over", 1.0)}, {"n": FactKind("number")})
    session = Session(replace(program, rules=program.rules.replace('"$gt"', '"$gte"')))
    with pytest.raises(EngineFault, match="contradicts itself"):
        session.evaluate({"n": 1.0})


def test_interrupted_in_the_middle(small: dict[str, Any], monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupt(*_: object) -> None:
        raise KeyboardInterrupt

    session = Session(compile_program(**small))
    with monkeypatch.context() as patch:
        patch.setattr(
            session_module, "load_engine", lambda: broken_engine(start_action_for_state=interrupt)
        )
        with pytest.raises(KeyboardInterrupt):
            session.evaluate({})
    assert session._handle is None
    assert session.evaluate({}).conclusion == "wait"


def test_close_frees_the_rule_set_and_the_session_can_be_used_again(small: dict[str, Any]) -> None:
    session = Session(compile_program(**small))
    first = session.evaluate({})
    session.close()
    session.close()
    assert session._handle is None
    assert session.evaluate({}) == first
    session.close()


def missing(monkeypatch: pytest.MonkeyPatch, said: str, version: tuple[int, ...]) -> str:
    real = builtins.__import__

    def refuse(name: str, *rest: Any) -> Any:
        if name == "durable_rules_engine":
            raise ImportError(said)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", refuse)
    monkeypatch.setattr(session_module.sys, "version_info", version)
    with pytest.raises(EngineMissing) as refused:
        load_engine()
    return str(refused.value)


def test_a_missing_engine_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    said = missing(monkeypatch, "No module named 'durable_rules_engine'", (3, 12))
    assert "install a C compiler and Python's headers" in said
    assert "`pip install --force-reinstall --no-deps durable-rules`" in said
    assert "CPPFLAGS" not in said
    assert "\n" not in said


def test_a_missing_symbol_names_the_flag_and_the_cache(monkeypatch: pytest.MonkeyPatch) -> None:
    said = missing(monkeypatch, "undefined symbol: PyEval_CallObject", (3, 13))
    assert "`pip cache remove durable_rules`" in said
    assert 'CPPFLAGS="-DPyEval_CallObject=PyObject_CallObject" pip install' in said


def test_a_missing_symbol_is_bound_lazily(monkeypatch: pytest.MonkeyPatch) -> None:
    real, before, tried = builtins.__import__, sys.getdlopenflags(), []
    module = SimpleNamespace()

    def pretend(name: str, *rest: Any) -> Any:
        if name != "durable_rules_engine":
            return real(name, *rest)
        tried.append(sys.getdlopenflags())
        if len(tried) == 1:
            raise ImportError("undefined symbol: PyEval_CallObject")
        return module

    monkeypatch.setattr(builtins, "__import__", pretend)
    assert load_engine() is module
    assert tried == [before, os.RTLD_LAZY]
    assert sys.getdlopenflags() == before


def test_decimal_comma_is_put_right(monkeypatch: pytest.MonkeyPatch) -> None:
    point = [","]
    monkeypatch.setattr(locale, "localeconv", lambda: {"decimal_point": point[0]})
    monkeypatch.setattr(locale, "setlocale", lambda *_: point.__setitem__(0, "."))
    session_module._read_decimals_with_points()
    assert point == ["."]
    point[0] = ","
    monkeypatch.setattr(locale, "setlocale", lambda *_: None)
    with pytest.raises(EngineFault, match="no decimal point"):
        session_module._read_decimals_with_points()
