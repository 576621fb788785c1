"""The rule book's records as JSON, from which nothing but these records can be made.

A record is an object that names its class, and the fields that are not as the class has them; the
other kinds of `_KINDS` are written likewise. A text can name nothing else, so whatever it holds,
reading it runs no code of its own.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from types import ModuleType
from typing import Any

from advisor.base import problems
from advisor.base.record import Record
from advisor.facts import vocabulary
from advisor.rulebook import (
    actives,
    advice,
    conditions,
    effort,
    evidence,
    gate,
    grass,
    key,
    law,
    model,
    options,
    steps,
    supply_numbers,
    wait,
    work,
)  # fmt: skip
from advisor.rulebook.grass import GrassLimit
from advisor.site import doing

SHAPES: tuple[ModuleType, ...] = (
    problems, vocabulary, actives, advice, conditions, doing, effort, evidence, gate, grass, key,
    law, model, options, steps, supply_numbers, wait, work,
)  # fmt: skip
"""The modules whose record classes a text may name."""
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


_RECORDS = {
    name: found
    for shape in SHAPES
    for name, found in vars(shape).items()
    if isinstance(found, type) and found is not Record
    if issubclass(found, Record) or is_dataclass(found)
}
_DEFAULTS = {name: _defaults(record) for name, record in _RECORDS.items()}
_KINDS: dict[str, Callable[[dict[str, Any]], Any]] = {
    "map": dict,
    "set": lambda parts: frozenset(parts[""]),
    "date": lambda parts: dt.date.fromisoformat(parts[""]),
    "grass limit": lambda parts: GrassLimit(parts[""]),
    **{name: _maker(record) for name, record in _RECORDS.items()},
}
