"""The rule book's records as JSON, from which nothing but these records can be made.

A value is written as it is, or as a list that begins with its kind: one of `_KINDS`, or the name of
a record class, and then its fields in their order. A text can name no other class, so whatever it
holds, reading it runs no code of its own.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import fields, is_dataclass
from types import ModuleType
from typing import Any

from advisor.base import problems
from advisor.facts import vocabulary
from advisor.rulebook import (
    actives,
    advice,
    conditions,
    effort,
    evidence,
    gate,
    key,
    law,
    model,
    options,
    steps,
    supply_numbers,
    wait,
    work,
)  # fmt: skip
from advisor.rulebook.model import GrassLimit
from advisor.site import doing

SHAPES: tuple[ModuleType, ...] = (
    problems, vocabulary, actives, advice, conditions, doing, effort, evidence, gate, key, law,
    model, options, steps, supply_numbers, wait, work,
)  # fmt: skip
"""The modules whose record classes a text may name."""
_PLAIN = (str, int, float, bool, type(None))


def text_of(value: Any) -> bytes:
    """A record, or anything that records are made of. Raises `TypeError` for what is neither."""
    return json.dumps(_written(value), ensure_ascii=False, separators=(",", ":")).encode()


def read_text(text: bytes) -> Any:
    """What `text_of` wrote."""
    return _read(json.loads(text))


def _written(value: Any) -> Any:
    if type(value) in _PLAIN:
        return value
    if type(value) in _RECORDS.values():
        return [type(value).__name__, *(_written(getattr(value, f.name)) for f in _given(value))]
    if isinstance(value, Mapping):
        return ["map", *(_written(part) for item in value.items() for part in item)]
    if isinstance(value, GrassLimit):
        return ["grass limit", str(value)]
    if isinstance(value, dt.date):
        return ["date", value.isoformat()]
    if isinstance(value, frozenset):
        return ["set", *sorted(map(_written, value))]
    if isinstance(value, Sequence) and not isinstance(value, (str, bytes)):
        return ["row", *map(_written, value)]
    raise TypeError(f"{type(value).__name__} is no part of a rule book")


def _read(value: Any) -> Any:
    if value.__class__ is not list:
        return value
    make = _KINDS[value[0]]
    return make([part if part.__class__ is not list else _read(part) for part in value[1:]])


def _given(record: Any) -> list[Any]:
    """The fields that a record is made from."""
    return [field for field in fields(record) if field.init]


def _maker(record: Any) -> Callable[[list[Any]], Any]:
    names = tuple(field.name for field in _given(record))
    if len(names) < len(fields(record)):
        return lambda parts: record(*parts)
    new = record.__new__

    # The constructor of a frozen record sets each field in a roundabout way, and takes the longer.
    def make(parts: list[Any]) -> Any:
        made = new(record)
        made.__dict__.update(zip(names, parts, strict=True))
        return made

    return make


_RECORDS = {
    name: found
    for shape in SHAPES
    for name, found in vars(shape).items()
    if isinstance(found, type) and is_dataclass(found)
}
_KINDS: dict[str, Callable[[list[Any]], Any]] = {
    "row": tuple,
    "map": lambda parts: dict(zip(parts[::2], parts[1::2], strict=True)),
    "set": frozenset,
    "date": lambda parts: dt.date.fromisoformat(parts[0]),
    "grass limit": lambda parts: GrassLimit(parts[0]),
    **{name: _maker(record) for name, record in _RECORDS.items()},
}
