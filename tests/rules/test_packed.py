"""The cached rule book is the one that was parsed, opened late."""

from __future__ import annotations

import pickle

import advisor.rulebook.packed as packed
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook


def test_a_packed_book_holds_what_was_parsed(book: RuleBook) -> None:
    again = pickle.loads(packed.pack(book))
    assert list(again.operations) == list(book.operations)
    for id, operation in book.operations.items():
        assert len(again.operations[id].examples) == len(operation.examples)
        assert again.operations[id] == operation
    assert dict(again.sources) == dict(book.sources)
    assert (again.grasses, again.vocabulary, again.hash) == (
        book.grasses, book.vocabulary, book.hash
    )  # fmt: skip


def test_only_what_is_looked_at_is_opened(book: RuleBook) -> None:
    again = pickle.loads(packed.pack(book))
    assert set(again.asked_as) == set(again.operations)
    one = next(iter(book.operations))
    examples = again.operations[one].examples
    assert set(again.operations._open) == {one}
    assert examples._open is None
    assert examples[0] == book.operations[one].examples[0]
    assert examples[:2] == tuple(book.operations[one].examples)[:2]


def test_the_cache_is_used_and_a_damaged_one_is_not(tmp_path, monkeypatch, book: RuleBook) -> None:
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    first = read_rulebook()
    (kept,) = (tmp_path / "turf-windows").glob("rules-*.pickle")
    assert read_rulebook().hash == first.hash == book.hash
    assert isinstance(read_rulebook().operations, packed.PackedMapping)
    kept.write_bytes(kept.read_bytes()[:-50])
    assert read_rulebook().operations == dict(book.operations)
