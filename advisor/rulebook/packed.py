"""The rule book as bytes for the cache: JSON from which nothing but its records can be made.

A record is an object that names its class, and the fields that are not as the class has them; the
other kinds of `_KINDS` are written likewise. A text can name nothing else, so whatever it holds,
reading it runs no code of its own.

One question needs one operation or a few, and never the examples; carrying text costs nothing.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import fields, is_dataclass
from hashlib import sha256
from importlib import import_module
from types import ModuleType
from typing import Any, Generic, TypeVar, overload
from zlib import compress, decompress

from advisor.base import problems
from advisor.base.record import Record, replace
from advisor.facts import fact
from advisor.records import doing
from advisor.rulebook import actives, advice, conditions, effort, grass, key, law, model, order
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.key import Key
from advisor.rulebook.model import Example, Operation, RuleBook

SHAPES: tuple[ModuleType, ...] = (
    problems, fact, actives, advice, conditions, doing, effort, grass, key, law, model, order,
)  # fmt: skip
"""The modules whose record classes a text may name."""
LATE_SHAPES = ("programme",)
"""The same, beside this one, of what few commands look at: imported when it is first read."""
_KIND = "@"
_PLAIN = (str, int, float, bool, type(None))


def text_of(value: Any) -> bytes:
    """A record, or anything that records are made of. Raises `TypeError` for what is neither."""
    return json.dumps(_written(value), ensure_ascii=False, separators=(",", ":")).encode()


def read_text(text: bytes) -> Any:
    """What `text_of` wrote."""
    return _row(json.loads(text, object_hook=_made))


def _written(value: Any) -> Any:
    if type(value) in _PLAIN:
        return value
    if type(value) in _RECORDS.values():
        # A field that is as its class has it is found there.
        own = {name: getattr(value, name) for name in _names(type(value))}
        known = _DEFAULTS[type(value).__name__]
        own = {n: part for n, part in own.items() if not _is_same(part, known.get(n, ...))}
        return {_KIND: type(value).__name__} | {n: _written(part) for n, part in own.items()}
    if isinstance(value, Mapping):
        if _KIND in value or not all(type(name) is str for name in value):
            raise TypeError("a mapping of a rule book has names for keys")
        return {_KIND: "map"} | {name: _written(part) for name, part in value.items()}
    if isinstance(value, GrassLimit):
        return {_KIND: "grass limit", "": str(value)}
    if isinstance(value, dt.date):
        return {_KIND: "date", "": value.isoformat()}
    if isinstance(value, frozenset):
        return {_KIND: "set", "": sorted(map(_written, value))}
    if isinstance(value, Sequence) and not isinstance(value, (str, bytes)):
        return [*map(_written, value)]
    raise TypeError(f"{type(value).__name__} is no part of a rule book")


def _is_same(one: Any, other: Any) -> bool:
    return type(one) is type(other) and bool(one == other)


def _made(found: dict[str, Any]) -> Any:
    kind = found.pop(_KIND)
    for name, part in found.items():
        if part.__class__ is list:
            found[name] = _row(part)
    return _KINDS[kind](found)


def _row(value: Any) -> Any:
    """All rows of a rule book are tuples, at any depth."""
    return tuple(map(_row, value)) if value.__class__ is list else value


def _names(record: Any) -> tuple[str, ...]:
    """The fields that a record is made of."""
    if issubclass(record, Record):
        return tuple(record.__struct_fields__)
    return tuple(field.name for field in fields(record) if field.init)


def _defaults(record: Any) -> dict[str, Any]:
    if not issubclass(record, Record):
        return {name: vars(record)[name] for name in _names(record) if name in vars(record)}
    given = record.__struct_defaults__
    return dict(zip(_names(record)[len(_names(record)) - len(given) :], given, strict=True))


def _maker(record: Any) -> Callable[[dict[str, Any]], Any]:
    return lambda parts: record(**parts)


_RECORDS: dict[str, type] = {}
_DEFAULTS: dict[str, dict[str, Any]] = {}
_KINDS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "map": dict,
    "set": lambda parts: frozenset(parts[""]),
    "date": lambda parts: dt.date.fromisoformat(parts[""]),
    "grass limit": lambda parts: GrassLimit(parts[""]),
}


def _know(shape: ModuleType) -> None:
    """Let texts name the record classes of a module."""
    for name, found in vars(shape).items():
        if not isinstance(found, type) or found is Record or name in _RECORDS:
            continue
        if issubclass(found, Record) or is_dataclass(found):
            _RECORDS[name], _DEFAULTS[name] = found, _defaults(found)
            _KINDS[name] = _maker(found)


for _shape in SHAPES:
    _know(_shape)


def _know_late() -> None:
    for name in LATE_SHAPES:
        _know(import_module(f"advisor.rulebook.{name}"))


T = TypeVar("T")
Text = memoryview
_OF_BOOK = ("operations", "grasses", "sources", "laws", "programmes")
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
    _know_late()
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
    late["programmes"] = LateMapping(groups.get("programmes", {}), _late_item)
    if all(f"key {name}" in groups for name in _OF_KEY):
        late["key"] = Key(*(LateMapping(groups[f"key {name}"], _item) for name in _OF_KEY))
    book: RuleBook = _item("", groups[_REST][""])
    return replace(book, **late)


def _item(id: str, text: Text) -> Any:
    return read_text(bytes(text))


def _late_item(id: str, text: Text) -> Any:
    _know_late()
    return _item(id, text)
