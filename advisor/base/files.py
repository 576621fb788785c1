"""Writing a file whole or not at all."""

from __future__ import annotations

import os
from pathlib import Path

from advisor.base.problems import BadInput, Place


def write_whole(path: Path, content: str | bytes, *, private: bool = False) -> None:
    """Put a file in place of the old one; if that fails, the old one stays and nothing is left.

    Text is written as UTF-8. A pipe or device is written to as it is. private: only its owner may
    read the file. Raises `BadInput` if the file cannot be written.
    """
    raw = content if isinstance(content, bytes) else content.encode()
    goal = path.resolve()
    part = goal.with_name(f".{goal.name}.{os.getpid()}.part")
    try:
        if goal.exists() and not goal.is_file():
            path.write_bytes(raw)
            return
        try:
            mode = 0o600 if private else 0o666
            with open(part, "wb", opener=lambda name, flags: os.open(name, flags, mode)) as file:
                file.write(raw)
            part.replace(goal)
        finally:
            part.unlink(missing_ok=True)
    except OSError as error:
        raise BadInput.at(Place(str(path)), f"cannot be written: {error.strerror}") from None
