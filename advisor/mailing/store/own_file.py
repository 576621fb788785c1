"""A SQLite store is its owner's alone: it holds addresses, and mails with tokens that sign off.

SQLite gives the files beside it (-wal, -shm) the permissions of the store itself.
"""

from __future__ import annotations

import os
import sys
from contextlib import suppress
from pathlib import Path

_OTHERS = 0o077
_BESIDE = ("", "-wal", "-shm")


def close_to_others(path: Path) -> None:
    """Make a store's file that is missing, and take others' rights from those that are there.

    Where that is not allowed, a line to standard error says so. A folder that is missing, or that
    takes no file, is left to be told when the store is opened.
    """
    if not path.exists():
        with suppress(OSError):
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
        return
    for end in _BESIDE:
        file = path.with_name(path.name + end)
        try:
            mode = file.stat().st_mode
            if mode & _OTHERS:
                file.chmod(mode & ~_OTHERS & 0o7777)
        except FileNotFoundError:
            continue
        except OSError as error:
            what = f"can be read by others, and that cannot be changed: {error.strerror}"
            print(f"{file}: {what}; have its owner run 'chmod 600' on it", file=sys.stderr)
