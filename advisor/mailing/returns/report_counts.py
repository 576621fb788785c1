"""Counting reports in the store: each once, with what follows for the reader and for the run."""

from __future__ import annotations

import datetime as dt

from sqlalchemy import Connection, func, insert, select, update
from sqlalchemy.exc import IntegrityError

from advisor.base.record import Record
from advisor.mailing.returns.status_codes import Kind
from advisor.mailing.store.outbox_tables import mail
from advisor.mailing.store.reader_tables import suppress_in
from advisor.mailing.store.report_tables import GONE_OUT, report
from advisor.mailing.store.store import Store, reading, writing
from advisor.mailing.store.tables import copy, edition, reader

SOFT_IN_A_ROW = 3
"""A reader whose last so many editions all came back is not written to any more (our choice)."""


class Known(Record, frozen=True):
    """A reader that a report is about, and the edition if the report names it."""

    reader_id: int
    address: str
    edition_id: int | None


class Refused(Record, frozen=True):
    """A mail that our own server refused at once. key: names it for ever."""

    key: str
    known: Known
    said: str


def by_id(store: Store, reader_id: int) -> Known | None:
    """A reader, and the newest edition that went out to it."""
    newest = (
        select(copy.c.edition_id)
        .join(mail, mail.c.copy_id == copy.c.id)
        .join(edition, edition.c.id == copy.c.edition_id)
        .where(copy.c.reader_id == reader_id, mail.c.state.in_(GONE_OUT))
        .order_by(edition.c.first_day.desc(), edition.c.id.desc())
        .limit(1)
    )
    with reading(store) as db:
        address = db.scalar(select(reader.c.address).where(reader.c.id == reader_id))
        return None if address is None else Known(reader_id, address, db.scalar(newest))


def by_message_id(store: Store, message_id: str) -> Known | None:
    """The reader and the edition of a mail of ours. Nobody else can make up such an id."""
    found = (
        select(reader.c.id, reader.c.address, copy.c.edition_id)
        .join_from(mail, copy, copy.c.id == mail.c.copy_id)
        .join(reader, reader.c.id == copy.c.reader_id)
        .where(mail.c.message_id == message_id)
    )
    with reading(store) as db:
        row = db.execute(found).first()
        return None if row is None else Known(*row)


def refused_mails(store: Store) -> list[Refused]:
    """The mails that were refused at once and are not counted yet."""
    columns = select(
        mail.c.message_id, mail.c.said, reader.c.id, reader.c.address, copy.c.edition_id
    )
    query = (
        columns.join_from(mail, copy, copy.c.id == mail.c.copy_id)
        .join(reader, reader.c.id == copy.c.reader_id)
        .where(mail.c.state == "failed", mail.c.code >= 400)
        .order_by(mail.c.copy_id)
    )
    with reading(store) as db:
        return [Refused(r[0], Known(r[2], r[3], r[4]), r[1]) for r in db.execute(query)]


def count_report(
    store: Store, key: str, known: Known, kind: str, status: str, on: dt.date
) -> tuple[bool, bool]:
    """Count a report: whether it is new, and whether the reader is suppressed by it.

    kind: as in the table. A complaint and a wish to leave suppress at once. A hard bounce, and a
    soft one with those of the editions around it, wait until it is clear that they are no burst
    (`held_bounces.py`). All or nothing is put down.
    """
    try:
        with writing(store) as db:
            return _put_down(db, key, known, kind, status, on)
    except IntegrityError:
        # Somebody else, on another machine, counted it or erased the reader at this moment.
        return False, False


def _put_down(
    db: Connection, key: str, known: Known, kind: str, status: str, on: dt.date
) -> tuple[bool, bool]:
    if db.scalar(select(report.c.key).where(report.c.key == key)) is not None:
        return False, False
    if db.scalar(select(reader.c.id).where(reader.c.id == known.reader_id)) is None:
        return False, False
    this = {"key": key, "reader_id": known.reader_id, "edition_id": known.edition_id}
    db.execute(insert(report).values(kind=kind, status=status, counted_on=on, **this))
    reason = {"complaint": "complained", "leave": "left by mail"}.get(kind)
    row = _soft_in_a_row(db, known) if kind in (Kind.SOFT, Kind.OURS) else []
    many = len(row) >= SOFT_IN_A_ROW
    if reason or (kind == Kind.SOFT and not many):
        db.execute(update(report).where(report.c.key == key).values(acted_on=True))
    if kind == Kind.OURS and many:
        # What came back in any order: only now is it known that nothing between them went out.
        last = (report.c.reader_id == known.reader_id) & (report.c.edition_id == row[-1])
        db.execute(update(report).where(last, report.c.kind == Kind.SOFT).values(acted_on=False))
    return True, bool(reason and suppress_in(db, known.address, reason, on))


def _soft_in_a_row(db: Connection, known: Known) -> list[int]:
    """The editions to a reader that came back one after the other, around the one in hand.

    An edition that went out and did not come back ends the row; one that came back by our own fault
    tells nothing of the reader and is passed over.
    """
    told: dict[int | None, set[str]] = {}
    mine = select(report.c.edition_id, report.c.kind).where(report.c.reader_id == known.reader_id)
    for edition_id, kind in db.execute(mine):
        told.setdefault(edition_id, set()).add(kind)
    went_out = (
        select(copy.c.edition_id)
        .join(mail, mail.c.copy_id == copy.c.id)
        .join(edition, edition.c.id == copy.c.edition_id)
        .where(copy.c.reader_id == known.reader_id, mail.c.state.in_((*GONE_OUT, "failed")))
        .order_by(edition.c.first_day, edition.c.id)
    )
    row, holds = list[int](), False
    for id in db.scalars(went_out):
        kinds = told.get(id, set())
        if Kind.SOFT in kinds:
            row.append(id)
        elif not kinds & {Kind.OURS, "discarded"}:
            if holds:
                break
            row = []
        holds = holds or id == known.edition_id
    return row if holds else []


def ours_of(store: Store, edition_id: int) -> tuple[int, int, bool]:
    """How many readers' mails came back by our own fault and made no pause yet; how many went out;
    and whether the edition is still being sent.

    Readers are counted, not reports: no single one can stop a run.
    """
    with reading(store) as db:
        new = select(func.count(report.c.reader_id.distinct())).where(
            report.c.edition_id == edition_id,
            report.c.kind == Kind.OURS,
            report.c.acted_on.is_(False),
        )
        out = select(func.count()).where(
            mail.c.edition_id == edition_id, mail.c.state.in_((*GONE_OUT, "failed"))
        )
        state = db.scalar(select(edition.c.state).where(edition.c.id == edition_id))
        return db.scalar(new) or 0, db.scalar(out) or 0, state == "sending"


def mark_acted_on(store: Store, edition_id: int) -> None:
    """After a pause: the same bounces do not make another."""
    with writing(store) as db:
        this = update(report).where(report.c.edition_id == edition_id, report.c.kind == Kind.OURS)
        db.execute(this.values(acted_on=True))


def editions_with_ours(store: Store) -> list[int]:
    """The editions that have bounces of our own fault which made no pause yet."""
    query = select(report.c.edition_id).where(
        report.c.kind == Kind.OURS, report.c.acted_on.is_(False), report.c.edition_id.is_not(None)
    )
    with reading(store) as db:
        return sorted(db.scalars(query.distinct()))
