"""Results kept by what they were made of, in the user's cache folder.

A name holds one result, the newest, with the key that it belongs to: the hash of all that it
depends on, the code that made it included. It comes back only under that key and only if it is
whole, so that a changed input or a damaged file means no more than that the work is done anew.
"""

from __future__ import annotations

import json
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from advisor.base.cache import keep, read_kept
from advisor.base.json_text import from_json

_PACKAGE = Path(__file__).resolve().parents[1]
_SUM = 64
"""Length of a check sum in hex."""


def key_of(*parts: str | bytes) -> str:
    """A key of these parts. Which part ends where counts too."""
    found = sha256()
    for part in parts:
        raw = part.encode("utf-8", "surrogateescape") if isinstance(part, str) else part
        found.update(b"%d:" % len(raw))
        found.update(raw)
    return found.hexdigest()


@cache
def code_of(*names: str) -> str:
    """A hash of the code of some modules (`base/units.py`) or whole rooms (`weather`)."""
    parts: list[str | bytes] = []
    for name in names:
        path = _PACKAGE / name
        for file in sorted(path.glob("*.py")) if path.is_dir() else (path,):
            parts += [file.name, file.read_bytes()]
    return key_of(*parts)


def read_keyed(name: str, key: str) -> memoryview | None:
    """What was kept under a name with this key; None if there is none, or it is not whole."""
    raw = read_kept(name)
    if raw is None:
        return None
    whole = memoryview(raw)[_SUM:]
    head = key.encode() + b"\n"
    if raw[_SUM : _SUM + len(head)] != head or sha256(whole).hexdigest().encode() != raw[:_SUM]:
        return None
    return whole[len(head) :]


def keep_keyed(name: str, key: str, content: bytes) -> None:
    """Keep a result under a name, if that can be done; what stood there before is gone."""
    whole = key.encode() + b"\n" + content
    keep(name, sha256(whole).hexdigest().encode() + whole)


def read_json(name: str, key: str) -> Any:
    """Plain data kept with `keep_json`; None if there is none."""
    found = read_keyed(name, key)
    try:
        return None if found is None else from_json(bytes(found))
    except ValueError:
        return None


def keep_json(name: str, key: str, data: Any) -> None:
    """Keep what JSON can say."""
    keep_keyed(name, key, json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode())
