"""Editions and their copies in the store."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from sqlalchemy import Select, exists, func, insert, select, update

from advisor.base.record import Record
from advisor.base.text import visible
from advisor.mailing.letters.compose import Editor
from advisor.mailing.letters.letter import Letter
from advisor.mailing.store.archive import publish
from advisor.mailing.store.reader_tables import PAGE, written_to
from advisor.mailing.store.store import Store, reading, writing
from advisor.mailing.store.tables import copy, edition, letter, reader


class EditionRow(Record, frozen=True):
    """built_at: None until every reader has a copy with all that the editor says. seen: whether
    somebody looked at it since."""

    id: int
    list_name: str
    first_day: dt.date
    rulebook_hash: str
    state: str
    editor: Editor
    reply_to: str
    built_at: dt.datetime | None
    seen: bool


def open_edition(store: Store, name: str, first_day: dt.date, rulebook_hash: str) -> EditionRow:
    """The edition of a week; a new draft if there is none.

    A store is of one list, so an edition stays the same when the folder gets another name.
    """
    name = visible(name)  # a folder's name need be no text, what a database holds must
    this = select(edition).where(edition.c.first_day == first_day)
    # Rather one that was approved: it may have gone out.
    this = this.order_by(edition.c.state == "draft", edition.c.id).limit(1)
    with writing(store) as connection:
        row = connection.execute(this).mappings().first()
        if row is None:
            values = {"list_name": name, "first_day": first_day, "rulebook_hash": rulebook_hash}
            connection.execute(insert(edition).values(**values))
            row = connection.execute(this).mappings().one()
        return _edition(row)


def set_editor(store: Store, id: int, words: Mapping[str, str]) -> bool:
    """Write the editor's words (note, question, correction, reply_to); a build must follow.

    False if the edition is no draft any more.
    """
    with writing(store) as connection:
        draft = (edition.c.id == id) & (edition.c.state == "draft")
        values = {"built_at": None, "seen": False, **words}
        done = connection.execute(update(edition).where(draft).values(**values))
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
            update(edition).where(same).values(rulebook_hash=rulebook_hash, built_at=at, seen=False)
        )


def mark_seen(store: Store, looked_at: EditionRow) -> None:
    """Note that somebody looked at a draft as it was built; nothing if it was built anew since."""
    same = (edition.c.id == looked_at.id) & (edition.c.built_at == looked_at.built_at)
    with writing(store) as connection:
        draft = edition.c.state == "draft"
        connection.execute(update(edition).where(same, draft).values(seen=True))


def approve(store: Store, id: int, at: dt.datetime) -> bool:
    """Turn a draft that was built into an approved edition; False if it was none."""
    with writing(store) as connection:
        draft = (
            (edition.c.id == id) & (edition.c.state == "draft") & edition.c.built_at.is_not(None)
        )
        done = connection.execute(
            update(edition).where(draft).values(state="approved", approved_at=at)
        )
        if done.rowcount == 1:
            publish(connection, id)
        return done.rowcount == 1


def copies_and_gaps(store: Store, id: int) -> tuple[int, int, int]:
    """How many copies there are, who of the readers has none, and who has one but must not."""
    ours = exists().where(copy.c.edition_id == id, copy.c.reader_id == reader.c.id)
    with reading(store) as connection:

        def count(query: Select[Any]) -> int:
            return connection.scalar(query) or 0

        readers = select(func.count()).select_from(reader)
        return (
            count(select(func.count()).where(copy.c.edition_id == id)),
            count(readers.where(written_to(), ~ours)),
            count(readers.where(~written_to(), ours)),
        )


def copy_of(store: Store, id: int, reader_id: int) -> Letter | None:
    """The frozen copy of a reader."""
    texts = select(letter.c.subject, letter.c.text, letter.c.html).join_from(copy, letter)
    with reading(store) as connection:
        query = texts.where(copy.c.edition_id == id, copy.c.reader_id == reader_id)
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
    query = select(copy.c.reader_id, letter.c.text == "").join_from(copy, letter)
    query = query.where(copy.c.edition_id == id)
    with reading(store) as connection:
        for row in connection.execute(query.execution_options(yield_per=PAGE)):
            yield row[0], bool(row[1])


def sizes(store: Store, id: int) -> list[tuple[str, int, int]]:
    """Of text and HTML: its name, and the characters of the middle copy and of the largest."""
    found = []
    with reading(store) as connection:
        copies = connection.scalar(select(func.count()).where(copy.c.edition_id == id)) or 0
        for name, column in (("text", letter.c.text), ("HTML", letter.c.html)):
            long = func.length(column)
            all_ = select(long).join_from(copy, letter).where(copy.c.edition_id == id)
            middle = connection.scalar(all_.order_by(long).offset(copies // 2).limit(1))
            most = connection.scalar(all_.order_by(long.desc()).limit(1))
            if middle is not None and most is not None:
                found.append((name, middle, most))
    return found


def some_readers(store: Store, id: int, places: Iterable[int]) -> list[int]:
    """The readers at these places (from 0) of the order of an edition's copies."""
    ordered = select(copy.c.reader_id).where(copy.c.edition_id == id).order_by(copy.c.reader_id)
    with reading(store) as connection:
        found = (connection.scalar(ordered.offset(at).limit(1)) for at in places)
        return [one for one in found if one is not None]


def _edition(row: Mapping[Any, Any]) -> EditionRow:
    return EditionRow(
        row["id"], row["list_name"], row["first_day"], row["rulebook_hash"], row["state"],
        Editor(row["note"], row["question"], row["correction"]), row["reply_to"], row["built_at"],
        row["seen"],
    )  # fmt: skip
