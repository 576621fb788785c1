"""What is kept in the user's own cache folder, by what it was made of.

What lies there is trusted: a compiled template runs as part of this program. So the folder must be
the user's own and closed to others' writing, and each file too; otherwise nothing is kept and
nothing is read, and all works as without.

A name holds one result, the newest, with the key that it belongs to: the hash of all that it
depends on, the code that made it included. It comes back only under that key and only if it is
whole, so that a changed input or a damaged file means no more than that the work is done anew.
"""

from __future__ import annotations

import json
import os
import stat
from contextlib import suppress
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

from advisor.base.files import write_whole
from advisor.base.problems import BadInput
from advisor.base.text import from_json

_OTHERS_WRITE = stat.S_IWGRP | stat.S_IWOTH


def read_kept(name: str) -> bytes | None:
    """What was kept under a name; None if there is nothing, or nothing to be trusted."""
    folder = _folder()
    if folder is None:
        return None
    try:
        # Looked at after it is open, so that nobody can put another file in its place; a link is
        # not followed, and a pipe not waited for.
        handle = os.open(folder / name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
        with os.fdopen(handle, "rb") as file:
            found = os.fstat(handle)
            # A second name of a file may be a link to it that somebody else made.
            plain = stat.S_ISREG(found.st_mode) and found.st_nlink == 1
            return file.read() if plain and _is_own(found) else None
    except OSError:
        return None


def keep(name: str, content: bytes) -> None:
    """Keep something under a name, if that can be done.

    A power cut may leave less of it; whoever reads it tells by a check sum of its own.
    """
    folder = _folder()
    if folder is not None:
        with suppress(BadInput):
            write_whole(folder / name, content, lasting=False)


def _folder() -> Path | None:
    """The user's cache folder for this program, made if need be; None if it is of no use."""
    base = _base()
    if base is None:
        return None
    folder = base / "turf-windows"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        found = folder.lstat()
    except (OSError, ValueError):
        return None
    usable = stat.S_ISDIR(found.st_mode) and _is_own(found) and os.access(folder, os.W_OK)
    return folder if usable else None


def _base() -> Path | None:
    """XDG Base Directory Specification: a relative path is invalid and is to be ignored."""
    given = Path(os.environ.get("XDG_CACHE_HOME", ""))
    if given.is_absolute():
        return given
    try:
        home = Path.home()
    except RuntimeError:
        return None
    return home / ".cache" if home.is_absolute() else None


def _is_own(found: os.stat_result) -> bool:
    return found.st_uid == os.geteuid() and not found.st_mode & _OTHERS_WRITE


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
