"""The calendars of an edition in the store, and that of one reader as a file."""

from __future__ import annotations

import datetime as dt
import uuid
import zlib
from collections.abc import Iterable, Mapping

from sqlalchemy import Connection, delete, insert, select

from advisor.base.record import replace
from advisor.mailing.letters.attachments import Beside
from advisor.mailing.mails.identity import ListIdentity
from advisor.mailing.store.store import Store, reading
from advisor.mailing.store.tables import copy, edition, letter
from advisor.mailing.store.web_tables import season
from advisor.render.yearly.calendar_check import check_calendar
from advisor.render.yearly.calendar_file import calendar_bytes
from advisor.render.yearly.calendar_memory import Remembered, memory_of, memory_text, remember

_NAMESPACE = uuid.UUID("5b8f8c54-9a0e-5f0b-8a2e-6c3a0d0f7b21")
"""Ours, drawn once; it only has to stay the same."""
_OUT = ("approved", "sending", "done")
_CHUNK = 500


def put_seasons(connection: Connection, edition_id: int, made: Iterable[Beside]) -> None:
    """Keep the calendars that go beside an edition's copies.

    Each goes on from that of the last edition that went out: small shifts do not move its events.
    """
    by_line = {beside.line: beside.events for beside in made}
    lines = list(by_line)
    this = connection.execute(select(edition).where(edition.c.id == edition_id)).one()
    for start in range(0, len(lines), _CHUNK):
        some = lines[start : start + _CHUNK]
        before = _last_told(connection, this.first_day, some)
        rows = []
        for line in some:
            events = remember(before.get(line, {}), by_line[line], this.first_day)
            packed = zlib.compress(memory_text(events).encode())
            rows.append({"edition_id": edition_id, "line": line, "events": packed})
        same = (season.c.edition_id == edition_id) & season.c.line.in_(some)
        connection.execute(delete(season).where(same))
        connection.execute(insert(season), rows)


def _last_told(
    connection: Connection, before: dt.date, lines: list[str]
) -> dict[str, Mapping[str, Remembered]]:
    """The calendars of the edition that went out last before a day, by line."""
    last = (
        select(edition.c.id)
        .where(edition.c.first_day < before)
        .where(edition.c.state.in_(_OUT))
        .order_by(edition.c.first_day.desc())
        .limit(1)
    )
    id = connection.scalar(last)
    found = select(season.c.line, season.c.events).where(season.c.edition_id == id)
    rows = connection.execute(found.where(season.c.line.in_(lines))) if id is not None else ()
    return {row.line: _unpacked(row.events) for row in rows}


def calendar_of(store: Store, identity: ListIdentity, reader_id: int) -> bytes | None:
    """The calendar of the last approved edition with a copy for this reader; None without any.

    Raises `RuntimeError` if what we made is not sound.
    """
    newest = (
        select(season.c.events)
        .join(copy, copy.c.edition_id == season.c.edition_id)
        .join(letter, (letter.c.id == copy.c.letter_id) & (letter.c.line == season.c.line))
        .join(edition, edition.c.id == copy.c.edition_id)
        .where(copy.c.reader_id == reader_id, edition.c.state.in_(_OUT))
        .order_by(edition.c.first_day.desc())
        .limit(1)
    )
    with reading(store) as connection:
        packed = connection.scalar(newest)
    if packed is None:
        return None
    told = _unpacked(packed).values()
    raw = calendar_bytes(identity.name, (_of_one(each, identity, reader_id) for each in told))
    faults = check_calendar(raw)
    if faults:
        raise RuntimeError(f"the calendar would not be sound: {'; '.join(faults)}")
    return raw


def _of_one(told: Remembered, identity: ListIdentity, reader_id: int) -> Remembered:
    """Readers share events; a UID is unique in the world (RFC 5545 section 3.8.4.7)."""
    name = f"{identity.list_id}/{reader_id}/{told.event.uid}"
    return replace(told, event=replace(told.event, uid=str(uuid.uuid5(_NAMESPACE, name))))


def _unpacked(packed: bytes) -> dict[str, Remembered]:
    return memory_of(zlib.decompress(packed).decode())
