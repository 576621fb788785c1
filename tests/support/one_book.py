"""The rule book, parsed and unpacked once in each process of the tests.

The same texts make the same book, and a book does not change; so tests may share one, however
often the code under test asks for it. `each_time` gives back the real reading.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from advisor.rulebook import parse_rulebook as parser
from advisor.rulebook import read_rulebook as reader
from advisor.rulebook.model import RuleBook

_parse, _kept = parser.parse_rulebook, reader._kept
_parsed: dict[str, RuleBook] = {}
_unpacked: dict[str, RuleBook] = {}


def _parse_once(files: Any, hash: str) -> RuleBook:
    if hash not in _parsed:
        _parsed[hash] = _parse(files, hash)
    return _parsed[hash]


def _unpack_once(name: str) -> RuleBook | None:
    if name not in _unpacked:
        book = _kept(name)
        if book is None:
            return None
        _unpacked[name] = book
    return _unpacked[name]


def share() -> None:
    parser.parse_rulebook, reader._kept = _parse_once, _unpack_once


@contextmanager
def each_time() -> Iterator[None]:
    """For tests of the reading itself and of its cache."""
    parser.parse_rulebook, reader._kept = _parse, _kept
    try:
        yield
    finally:
        share()
