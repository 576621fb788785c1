"""The rule book as bytes for the cache, in parts that stay text until somebody looks at them.

One question needs one operation or a few, and never the examples; carrying text costs nothing.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from hashlib import sha256
from typing import Any, Generic, TypeVar, overload
from zlib import compress, decompress

from advisor.base.record import replace
from advisor.rulebook.key import Key
from advisor.rulebook.model import Example, Operation, RuleBook
from advisor.rulebook.plain_records import read_text, text_of

T = TypeVar("T")
Text = memoryview
_OF_BOOK = ("operations", "grasses", "sources", "laws")
_OF_KEY = ("characters", "grasses")
_REST = "rest"


class LateMapping(Mapping[str, T]):
    """A mapping whose values are read one at a time, each at its first use."""

    def __init__(self, texts: Mapping[str, Text], read: Callable[[str, Text], T]) -> None:
        self._texts, self._read = texts, read
        self._open: dict[str, T] = {}

    def __getitem__(self, name: str) -> T:
        if name not in self._open:
            self._open[name] = self._read(name, self._texts[name])
        return self._open[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._texts)

    def __len__(self) -> int:
        return len(self._texts)

    def __contains__(self, name: object) -> bool:
        return name in self._texts


class LateSequence(Sequence[T], Generic[T]):
    """A sequence that is read as a whole at its first use. text: compressed."""

    def __init__(self, text: Text) -> None:
        self._text = text
        self._open: tuple[T, ...] | None = None

    def _items(self) -> tuple[T, ...]:
        if self._open is None:
            self._open = read_text(decompress(self._text))
        return self._open

    @overload
    def __getitem__(self, at: int) -> T: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[T, ...]: ...
    def __getitem__(self, at: int | slice) -> T | tuple[T, ...]:
        return self._items()[at]

    def __len__(self) -> int:
        return len(self._items())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, (tuple, LateSequence)) and self._items() == tuple(other)

    def __hash__(self) -> int:
        return hash(self._text)


def pack(book: RuleBook) -> bytes:
    """The whole book: a check sum, a line that says how long each part is, and the parts."""
    parts: dict[str, bytes] = {}
    for name in _OF_BOOK:
        parts |= {f"{name}/{id}": text_of(item) for id, item in getattr(book, name).items()}
    for id, operation in book.operations.items():
        parts[f"operations/{id}"] = text_of(replace(operation, examples=()))
        parts[f"examples/{id}"] = compress(text_of(tuple(operation.examples)))
    for name in _OF_KEY if book.key is not None else ():
        parts |= {f"key {name}/{id}": text_of(x) for id, x in getattr(book.key, name).items()}
    nothing: dict[str, Any] = {name: {} for name in _OF_BOOK}
    parts[f"{_REST}/"] = text_of(replace(book, key=None, **nothing))
    lengths = json.dumps({name: len(text) for name, text in parts.items()}).encode()
    whole = lengths + b"\n" + b"".join(parts.values())
    return sha256(whole).hexdigest().encode() + b"\n" + whole


def unpack(raw: bytes) -> RuleBook:
    """The book that was packed. Raises `ValueError` for bytes that are not whole."""
    # Views, since copies of so many bytes would take longer than all the rest.
    view, start = memoryview(raw), raw.find(b"\n") + 1
    if sha256(view[start:]).hexdigest().encode() != bytes(view[: start - 1]):
        raise ValueError("the kept rule book is damaged")
    at = raw.find(b"\n", start) + 1
    groups: dict[str, dict[str, Text]] = {}
    for name, length in json.loads(raw[start:at]).items():
        group, _, id = name.partition("/")
        groups.setdefault(group, {})[id] = view[at : at + length]
        at += length
    late: dict[str, Any] = {name: LateMapping(groups.get(name, {}), _item) for name in _OF_BOOK}
    examples = groups["examples"]

    def operation(id: str, text: Text) -> Operation:
        seen: Sequence[Example] = LateSequence(examples[id])
        found: Operation = _item(id, text)
        return replace(found, examples=seen)

    late["operations"] = LateMapping(groups["operations"], operation)
    if all(f"key {name}" in groups for name in _OF_KEY):
        late["key"] = Key(*(LateMapping(groups[f"key {name}"], _item) for name in _OF_KEY))
    book: RuleBook = _item("", groups[_REST][""])
    return replace(book, **late)


def _item(id: str, text: Text) -> Any:
    return read_text(bytes(text))
