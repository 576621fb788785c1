"""What is kept in the user's own cache folder, and read from nowhere else.

What lies there is trusted: a compiled template runs as part of this program. So the folder must be
the user's own and closed to others' writing, and each file too; otherwise nothing is kept and
nothing is read, and all works as without.
"""

from __future__ import annotations

import os
import stat
from contextlib import suppress
from pathlib import Path

from advisor.base.files import write_whole
from advisor.base.problems import BadInput

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
