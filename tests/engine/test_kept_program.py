"""A kept program is the compiled one, and whatever else lies in its place is compiled anew."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from advisor.base.cache import keep_keyed
from advisor.decide.engine import program as module
from advisor.decide.engine.compile import compile_program
from advisor.decide.engine.model import FactKind, Table
from advisor.decide.engine.program import Program, kept_program
from advisor.decide.engine.session import Session
from advisor.rulebook.conditions import Group, Leaf

KINDS = {
    "thatch": FactKind("number"),
    "sunny": FactKind("flag"),
    "state": FactKind("choice", ("growing", "dormant")),
}
FORMULAS = {
    "need": Group("any", (Leaf("thatch", "over", 1.5), Leaf("state", "is", "dormant"))),
    "ready": Group("none", (Leaf("sunny", "is", True), Leaf("thatch", "known", False))),
}
TABLE = Table(
    {"need": ("false", "true", "unknown")},
    (({"need": "true"}, "do"), ({"need": "false|unknown"}, "leave")),
)
DAYS = (
    {"thatch": 2.0, "sunny": False, "state": "growing"},
    {"thatch": 1.0, "sunny": None, "state": "dormant"},
    {"thatch": None, "sunny": True, "state": None},
)


@pytest.fixture
def compiled(tmp_path, monkeypatch) -> list[object]:
    """Grows by one for each program that is compiled."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    found: list[object] = []

    def counting(*given):
        found.append(given)
        return compile_program(*given)

    monkeypatch.setattr("advisor.decide.engine.compile.compile_program", counting)
    return found


def kept(formulas=FORMULAS, name="program"):
    return kept_program(name, formulas, KINDS, TABLE, ())


def file(tmp_path: Path) -> Path:
    return tmp_path / "turf-windows" / "program"


def test_it_is_compiled_once_and_comes_back_the_same(compiled):
    fresh, again = kept(), kept()
    assert len(compiled) == 1
    assert again == fresh == compile_program(FORMULAS, KINDS, TABLE, ())
    for name in Program.__annotations__:
        assert type(getattr(again, name)) is type(getattr(fresh, name)), name
    with Session(fresh) as one, Session(again) as other:
        for day in DAYS:
            assert one.evaluate(day) == other.evaluate(day)


def test_a_moved_limit_is_compiled_anew(compiled):
    kept()
    moved = FORMULAS | {"need": Group("any", (Leaf("thatch", "over", 1.6),))}
    assert kept(moved) == compile_program(moved, KINDS, TABLE, ())
    assert len(compiled) == 2


def test_another_compiler_compiles_anew(compiled, monkeypatch):
    kept()
    monkeypatch.setattr(module, "code_of", lambda *names: "another")
    assert kept() == kept()
    assert len(compiled) == 2


def test_without_a_name_nothing_is_kept(compiled, tmp_path):
    assert kept(name="") == kept(name="")
    assert len(compiled) == 2
    assert not file(tmp_path).parent.exists()


@pytest.mark.parametrize("share", [0.0, 0.5, 0.99])
def test_a_cut_file_is_compiled_anew(compiled, tmp_path, share):
    fresh = kept()
    raw = file(tmp_path).read_bytes()
    file(tmp_path).write_bytes(raw[: int(len(raw) * share)])
    assert kept() == fresh
    assert len(compiled) == 2
    assert file(tmp_path).read_bytes() == raw


@pytest.mark.parametrize(
    ("part", "other"),
    [
        ("rules", 1),
        ("rules", None),
        ("concludes", {"r0": [1]}),
        ("concludes", []),
        ("read", ["1"]),
        ("kinds", {"thatch": {"kind": "colour"}}),
        ("values", {"thatch": 3}),
        ("closed", [0.5]),
        ("conclusion", "do"),
        ("conclusions", [1]),
    ],
)
def test_what_has_another_shape_is_compiled_anew(compiled, tmp_path, part, other):
    """Even where it is whole and stands under the right key."""
    fresh = kept()
    key, content = file(tmp_path).read_bytes()[64:].split(b"\n", 1)
    keep_keyed("program", key.decode(), json.dumps(json.loads(content) | {part: other}).encode())
    assert kept() == fresh
    assert len(compiled) == 2
