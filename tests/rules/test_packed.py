"""The cached rule book is the one that was parsed, opened late."""

from __future__ import annotations

import datetime as dt
import os
import subprocess
import sys

import one_book
import pytest

import advisor.rulebook.packed as packed
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

pytestmark = pytest.mark.slow


def test_a_packed_book_holds_what_was_parsed(book: RuleBook) -> None:
    again = packed.unpack(packed.pack(book))
    assert list(again.operations) == list(book.operations)
    for id, operation in book.operations.items():
        assert len(again.operations[id].examples) == len(operation.examples)
        assert again.operations[id] == operation
    assert dict(again.sources) == dict(book.sources)
    for field in book.__struct_fields__:
        assert getattr(again, field) == getattr(book, field), field


def test_only_what_is_looked_at_is_opened(book: RuleBook) -> None:
    again = packed.unpack(packed.pack(book))
    assert set(again.asked_as) == set(again.operations)
    one = next(iter(book.operations))
    examples = again.operations[one].examples
    assert set(again.operations._open) == {one}
    assert examples._open is None
    assert list(again.programmes) == list(book.programmes)
    assert not again.programmes._open
    assert again.programmes["renovation"] == book.programmes["renovation"]
    assert set(again.programmes._open) == {"renovation"}
    assert examples[0] == book.operations[one].examples[0]
    assert examples[:2] == tuple(book.operations[one].examples)[:2]


def test_programmes_cost_nothing_until_one_is_asked_for(tmp_path) -> None:
    """Their module is not even imported by a run that looks at none."""
    asked = (
        "import sys; from advisor.rulebook.read_rulebook import read_rulebook; "
        "read_rulebook(); book = read_rulebook(); name = 'advisor.rulebook.programme'; "
    )
    own = {**os.environ, "XDG_CACHE_HOME": str(tmp_path)}
    for look, wanted in (("", "False"), ("book.programmes['renovation'];", "True")):
        # The first run may have to parse, and so to import; the second reads what was kept.
        for _ in range(2):
            done = subprocess.run(
                [sys.executable, "-c", f"{asked} {look} print(name in sys.modules)"],
                env=own, capture_output=True, text=True, check=True,
            )  # fmt: skip
        assert done.stdout.strip() == wanted


def test_the_cache_is_used_and_a_damaged_one_is_not(tmp_path, monkeypatch, book: RuleBook) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    with one_book.each_time():
        first = read_rulebook()
        (kept,) = (tmp_path / "turf-windows").glob("rules-*")
        assert read_rulebook().hash == first.hash == book.hash
        assert isinstance(read_rulebook().operations, packed.LateMapping)
        kept.write_bytes(kept.read_bytes()[:-50])
        assert read_rulebook().operations == dict(book.operations)
        kept.write_bytes(kept.read_bytes().replace(b"thatch", b"thotch", 1))
        assert read_rulebook().operations == dict(book.operations)


def test_a_text_can_name_nothing_but_records() -> None:
    for text in (b'{"@":"system"}', b'{"@":"os.system"}', b'{"@":"Path"}', b'{"a":1}'):
        with pytest.raises(KeyError):
            packed.read_text(text)
    with pytest.raises(TypeError):
        packed.text_of(object())


def test_what_is_written_is_read_back_as_it_was() -> None:
    value = (1, 1.0, True, None, "a", 1e-7, frozenset({"b", "a"}), {"k": ()}, dt.date(2026, 9, 5))
    again = packed.read_text(packed.text_of((*value, GrassLimit("x"))))
    assert again == (*value, "x")
    assert [type(part) for part in again] == [*map(type, value), GrassLimit]
