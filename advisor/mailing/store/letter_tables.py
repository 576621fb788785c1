"""Letters in the store: each distinct one once, never changed, gone when nobody has a copy."""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Sequence
from hashlib import sha256

from sqlalchemy import Connection, delete, exists, insert, select

from advisor.mailing.letters.letter import Letter
from advisor.mailing.store.tables import copy, letter


def letter_hash(content_key: str, texts: Iterable[str]) -> str:
    """What tells a letter from others: all that went into it, and what came of it."""
    return sha256("\0".join((content_key, *texts)).encode()).hexdigest()


def packed(said: str) -> bytes:
    """What a letter said of each job, as it is stored."""
    return zlib.compress(said.encode()) if said else b""


def unpacked(said: bytes) -> str:
    """What `packed` was given."""
    return zlib.decompress(said).decode() if said else ""


def put_letters(connection: Connection, made: Iterable[tuple[str, Letter]]) -> None:
    """Keep letters with their content keys; one that is there already stays as it is."""
    rows = {
        letter_hash(key, (one.subject, one.text, one.html)): {
            "content_key": key, "subject": one.subject, "text": one.text, "html": one.html,
            "line": one.beside.line if one.beside else "",
            "said": packed(one.said),
        }
        for key, one in made
    }  # fmt: skip
    known = set(
        connection.scalars(select(letter.c.hash).where(letter.c.hash.in_(list(rows)))).all()
    )
    new = [{"hash": hashed, **row} for hashed, row in rows.items() if hashed not in known]
    if new:
        connection.execute(insert(letter), new)


def drop_unused(connection: Connection, ids: Sequence[int] | None = None) -> None:
    """Delete the letters of which there is no copy any more. ids: only if it is one of these."""
    unused = delete(letter).where(~exists().where(copy.c.letter_id == letter.c.id))
    connection.execute(unused if ids is None else unused.where(letter.c.id.in_(ids)))
