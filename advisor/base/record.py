"""The base of the program's records: plain data that nobody can change.

A class of `msgspec` costs a twentieth of a dataclass at start-up, and there are hundreds. Records
are equal if they are of one class and their fields are equal; they can be keys.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from msgspec import Struct, field
from msgspec.structs import force_setattr, replace

__all__ = ["Record", "asdict", "field", "force_setattr", "replace"]


class Record(Struct, frozen=True):
    """Fields are given as in a dataclass; a default that can be changed by `field`."""


def asdict(record: Struct) -> dict[str, Any]:
    """A record as plain data, with all that is in it."""
    return {name: _plain(getattr(record, name)) for name in record.__struct_fields__}


def _plain(value: Any) -> Any:
    if isinstance(value, Struct):
        return asdict(value)
    if isinstance(value, tuple):
        return tuple(map(_plain, value))
    if isinstance(value, list):
        return [*map(_plain, value)]
    if isinstance(value, Mapping):
        return {_plain(key): _plain(part) for key, part in value.items()}
    return value
