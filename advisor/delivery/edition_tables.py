"""Editions and their copies in the store."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import delete, func, insert, select, update

from advisor.delivery.compose import Editor
from advisor.delivery.letter import Letter
from advisor.delivery.store import Store, reading, writing
from advisor.delivery.tables import copy, edition, reader

_CHUNK = 500


@dataclass(frozen=True)
class EditionRow:
    """built_at: None until every reader has a copy with all that the editor says."""

    id: int
    list_name: str
    first_day: dt.date
    rulebook_hash: str
    state: str
    editor: Editor
    reply_to: str
    built_at: dt.datetime | None


def open_edition(store: Store, name: str, first_day: dt.date, rulebook_hash: str) -> EditionRow:
    """The edition of a week; a new draft if there is none."""
    with writing(store) as connection:
        same = (edition.c.list_name == name) & (edition.c.first_day == first_day)
        row = connection.execute(select(edition).where(same)).mappings().first()
        if row is None:
            values = {"list_name": name, "first_day": first_day, "rulebook_hash": rulebook_hash}
            connection.execute(insert(edition).values(**values))
            row = connection.execute(select(edition).where(same)).mappings().one()
        return _edition(row)


def set_editor(store: Store, id: int, words: Mapping[str, str]) -> bool:
    """Write the editor's words (note, question, correction, reply_to); a build must follow.

    False if the edition is no draft any more.
    """
    with writing(store) as connection:
        draft = (edition.c.id == id) & (edition.c.state == "draft")
        done = connection.execute(update(edition).where(draft).values(built_at=None, **words))
        return done.rowcount == 1


def mark_built(store: Store, built: EditionRow, rulebook_hash: str, at: dt.datetime | None) -> None:
    """Note when a draft was completed, and by which rule book.

    Nothing is noted if the editor has changed the draft since `built` was read.
    """
    same = (
        (edition.c.id == built.id)
        & (edition.c.state == "draft")
        & (edition.c.note == built.editor.note)
        & (edition.c.question == built.editor.question)
        & (edition.c.correction == built.editor.correction)
    )
    with writing(store) as connection:
        connection.execute(
            update(edition).where(same).values(rulebook_hash=rulebook_hash, built_at=at)
        )


def approve(store: Store, id: int, at: dt.datetime) -> bool:
    """Turn a built draft into an approved edition; False if it was none."""
    with writing(store) as connection:
        draft = (
            (edition.c.id == id) & (edition.c.state == "draft") & edition.c.built_at.is_not(None)
        )
        done = connection.execute(
            update(edition).where(draft).values(state="approved", approved_at=at)
        )
        return done.rowcount == 1


def copy_keys(store: Store, id: int) -> dict[int, str]:
    """The content key of each reader's copy."""
    with reading(store) as connection:
        query = select(copy.c.reader_id, copy.c.content_key).where(copy.c.edition_id == id)
        return {row[0]: row[1] for row in connection.execute(query)}


def put_copies(store: Store, id: int, made: Iterable[tuple[int, str, Letter]]) -> int:
    """Freeze copies (reader, content key, digest) of a draft, in the place of older ones.

    Readers who have been erased meanwhile get none, nor does an edition that is no draft.
    """
    rows = [
        {"edition_id": id, "reader_id": one, "content_key": key, "subject": letter.subject,
         "text": letter.text, "html": letter.html}
        for one, key, letter in made
    ]  # fmt: skip
    with writing(store) as connection:
        state = connection.execute(select(edition.c.state).where(edition.c.id == id)).scalar()
        if state != "draft":
            return 0
        for start in range(0, len(rows), _CHUNK):
            ids = [row["reader_id"] for row in rows[start : start + _CHUNK]]
            known = set(
                connection.execute(select(reader.c.id).where(reader.c.id.in_(ids))).scalars()
            )
            old = (copy.c.edition_id == id) & copy.c.reader_id.in_(ids)
            connection.execute(delete(copy).where(old))
            kept = [row for row in rows[start : start + _CHUNK] if row["reader_id"] in known]
            if kept:
                connection.execute(insert(copy), kept)
    return len(rows)


def drop_copies(store: Store, id: int, readers: Iterable[int]) -> int:
    """Take away the copies of a draft for readers who must get none."""
    gone = list(readers)
    with writing(store) as connection:
        for start in range(0, len(gone), _CHUNK):
            some = gone[start : start + _CHUNK]
            connection.execute(
                delete(copy).where((copy.c.edition_id == id) & copy.c.reader_id.in_(some))
            )
    return len(gone)


def copy_of(store: Store, id: int, reader_id: int) -> Letter | None:
    """The frozen copy of a reader."""
    columns = (copy.c.subject, copy.c.text, copy.c.html)
    with reading(store) as connection:
        query = select(*columns).where(copy.c.edition_id == id, copy.c.reader_id == reader_id)
        row = connection.execute(query).first()
        return None if row is None else Letter(*row)


def frozen_message(store: Store, id: int, reader_id: int) -> bytes | None:
    """The mail of a reader as it was first sent; None if it was not sent yet."""
    with reading(store) as connection:
        mine = copy.c.edition_id == id, copy.c.reader_id == reader_id
        found: bytes | None = connection.scalar(select(copy.c.message).where(*mine))
        return found


def readers_of(store: Store, id: int) -> Iterator[tuple[int, bool]]:
    """Each reader of an edition, and whether the copy stands for no mail at all."""
    query = select(copy.c.reader_id, copy.c.text == "").where(copy.c.edition_id == id)
    with reading(store) as connection:
        for row in connection.execute(query.execution_options(yield_per=_CHUNK)):
            yield row[0], bool(row[1])


def sizes(store: Store, id: int) -> list[tuple[int, int]]:
    """Characters of text and of HTML of each copy."""
    with reading(store) as connection:
        query = select(func.length(copy.c.text), func.length(copy.c.html))
        return [(r[0], r[1]) for r in connection.execute(query.where(copy.c.edition_id == id))]


def _edition(row: Mapping[Any, Any]) -> EditionRow:
    return EditionRow(
        row["id"], row["list_name"], row["first_day"], row["rulebook_hash"], row["state"],
        Editor(row["note"], row["question"], row["correction"]), row["reply_to"], row["built_at"],
    )  # fmt: skip
