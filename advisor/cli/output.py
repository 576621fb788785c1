"""Writing what a command shows to a file."""

from __future__ import annotations

from pathlib import Path

from advisor.base.problems import BadInput, Place


def write_file(path: Path, content: str | bytes) -> None:
    """Write text (UTF-8) or bytes. Raises `BadInput` if that cannot be done."""
    raw = content if isinstance(content, bytes) else content.encode()
    try:
        path.write_bytes(raw)
    except OSError as error:
        raise BadInput.at(Place(str(path)), f"cannot be written: {error.strerror}") from None
