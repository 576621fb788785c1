"""Reading a folder of mails, a Maildir or an mbox file, without changing anything in it."""

from __future__ import annotations

import mailbox
from collections.abc import Iterator
from pathlib import Path

from advisor.base.problems import BadInput, Place

LARGEST_BYTES = 500_000
"""A larger mail is not looked into: a bounce holds at most our own mail and a few kB more."""


def mails_in(folder: Path) -> Iterator[tuple[str, bytes]]:
    """The name of each mail for a person to find it by, and its bytes; one byte too many at most.

    Raises `BadInput` if there is no such folder or file, or it cannot be read.
    """
    place = Place(str(folder))
    try:
        box = _open(folder, place)
    except OSError as error:
        raise BadInput.at(place, f"cannot be read: {error.strerror}") from None
    try:
        for key in sorted(box.keys()):
            try:
                with box.get_file(key) as mail:
                    yield str(key), mail.read(LARGEST_BYTES + 1)
            except (KeyError, FileNotFoundError):
                # A mail program has moved it away meanwhile; the next reading finds it.
                continue
            except OSError as error:
                raise BadInput.at(place, f"{key} cannot be read: {error.strerror}") from None
    finally:
        box.close()


def _open(folder: Path, place: Place) -> mailbox.Maildir | mailbox.mbox:
    if folder.is_dir():
        if not (folder / "new").is_dir() or not (folder / "cur").is_dir():
            raise BadInput.at(place, "is no Maildir; wanted the folders 'new' and 'cur' in it")
        return mailbox.Maildir(folder, create=False)
    if not folder.is_file():
        raise BadInput.at(place, "is missing; wanted a Maildir folder or an mbox file")
    with folder.open("rb") as file:
        if file.read(5) not in (b"From ", b""):
            raise BadInput.at(place, "is no mbox file; its first line does not begin with 'From '")
    return mailbox.mbox(folder, create=False)
