"""A burst of bounces that would take many readers off the list waits for the editor's word.

One fault of a mail server (a lost table of addresses, say) answers 550 5.1.1 for everybody.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator

from sqlalchemy import ColumnElement, Connection, func, select, update

from advisor.base.record import Record
from advisor.mailing.returns.status_codes import Kind
from advisor.mailing.store.outbox_tables import mail
from advisor.mailing.store.reader_tables import suppress_in
from advisor.mailing.store.readmission import BOUNCE, readmit_in
from advisor.mailing.store.report_tables import GONE_OUT, report
from advisor.mailing.store.store import Store, reading, writing
from advisor.mailing.store.tables import edition, reader, suppression

BURSTS = ((5, 0.2), (100, 0.05))
"""It is a burst when at least so many readers of an edition, and more than this share of those that
it went to, would be taken off the list for it (our choice)."""
DISCARDED = "discarded"
"""The kind of a bounce that the editor does not believe."""
_WOULD = report.c.kind.in_((Kind.HARD, Kind.SOFT)) & report.c.acted_on.is_(False)
_CHUNK = 500


class Held(Record, frozen=True):
    """A burst. readers: who wait for a word. bad: those and who was taken off before; out: to how
    many the edition went. first_day: None where the edition is not known."""

    edition_id: int | None
    first_day: dt.date | None
    readers: int
    bad: int
    out: int


def held_bursts(store: Store) -> list[Held]:
    """The bursts that wait for a word."""
    with reading(store) as db:
        return [one for one in _waiting(db) if _is_burst(one)]


def act_on_bounces(store: Store) -> Counter[str]:
    """Take the readers of all bounces that are no burst off the list; how many, by kind."""
    with reading(store) as db:
        few = [one for one in _waiting(db) if not _is_burst(one)]
    return sum((_act(store, one.edition_id) for one in few), Counter())


def accept_bursts(store: Store) -> Counter[str]:
    """The editor's word that the bounces are true: their readers are taken off the list."""
    return sum((_act(store, one.edition_id) for one in held_bursts(store)), Counter())


def discard_bursts(store: Store, on: dt.date) -> tuple[int, int]:
    """The editor's word that they are not: how many readers stay, and how many come back who were
    taken off for the same edition before the burst was seen."""
    stay = back = 0
    for one in held_bursts(store):
        with writing(store) as db:
            stay += one.readers
            back += _bring_back(db, one.edition_id, on)
            this = _of(one.edition_id) & (_WOULD | (report.c.kind == Kind.HARD))
            db.execute(update(report).where(this).values(kind=DISCARDED, acted_on=True))
    return stay, back


def _is_burst(one: Held) -> bool:
    return any(one.bad >= least and one.bad > share * one.out for least, share in BURSTS)


def _waiting(db: Connection) -> Iterator[Held]:
    """By edition, all that would take a reader off the list and has not done so yet."""
    would = select(report.c.edition_id, func.count(report.c.reader_id.distinct()))
    for edition_id, readers in db.execute(would.where(_WOULD).group_by(report.c.edition_id)).all():
        bad = select(func.count(report.c.reader_id.distinct()))
        bad = bad.where(_of(edition_id), _WOULD | (report.c.kind == Kind.HARD))
        out = select(func.count()).where(
            mail.c.edition_id == edition_id, mail.c.state.in_((*GONE_OUT, "failed"))
        )
        day = db.scalar(select(edition.c.first_day).where(edition.c.id == edition_id))
        yield Held(edition_id, day, readers, db.scalar(bad) or 0, db.scalar(out) or 0)


def _act(store: Store, edition_id: int | None) -> Counter[str]:
    done: Counter[str] = Counter()
    columns = (report.c.key, report.c.kind, report.c.counted_on)
    some = (
        select(*columns, reader.c.address, reader.c.permission_on)
        .join_from(report, reader, reader.c.id == report.c.reader_id)
        .where(_of(edition_id), _WOULD)
        .limit(_CHUNK)
    )
    while True:
        with writing(store) as db:
            rows = db.execute(some).all()
            for row in rows:
                # Who agreed anew since then may have mended the address.
                old = row.permission_on <= row.counted_on
                if old and suppress_in(db, row.address, BOUNCE, row.counted_on):
                    done[row.kind] += 1
            this = report.c.key.in_([row.key for row in rows])
            db.execute(update(report).where(this).values(acted_on=True))
        if len(rows) < _CHUNK:
            return done


def _bring_back(db: Connection, edition_id: int | None, on: dt.date) -> int:
    theirs = (
        select(suppression.c.address_hash)
        .join(reader, reader.c.address_hash == suppression.c.address_hash)
        .join(report, report.c.reader_id == reader.c.id)
        .where(_of(edition_id), report.c.kind == Kind.HARD, report.c.acted_on)
        .where(suppression.c.reason == BOUNCE, suppression.c.suppressed_on == report.c.counted_on)
        .distinct()
    )
    hashes, back = list(db.scalars(theirs)), 0
    for start in range(0, len(hashes), _CHUNK):
        why = "the burst of bounces was discarded"
        back += readmit_in(db, hashes[start : start + _CHUNK], why, on)
    return back


def _of(edition_id: int | None) -> ColumnElement[bool]:
    same = report.c.edition_id
    return same.is_(None) if edition_id is None else same == edition_id
