"""Putting an edition on its way, holding it up and seeing how it stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from hashlib import sha256

from sqlalchemy import func, insert, select, update

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record, asdict
from advisor.mailing.letters.letter import Letter
from advisor.mailing.mails.identity import ListIdentity, answered_at, checked_identity
from advisor.mailing.mails.tokens import message_id
from advisor.mailing.outbox.outbox import FINAL, STATES, now
from advisor.mailing.store.outbox_tables import mail, run
from advisor.mailing.store.report_tables import report
from advisor.mailing.store.store import Store, reading, writing
from advisor.mailing.store.tables import copy, edition, letter

#: After so many hours a week's advice is stale and is not sent any more (our choice).
LIFE_HOURS = 48.0
WEEK = dt.timedelta(days=7)
_BATCH = 5_000


class Status(Record, frozen=True):
    """The truth about one edition. counts: mails by state; they add up to copies.

    came_back: readers by the kind of what came back, as far as it has been read. held: bounces
    of readers who were not taken off the list for them yet.
    """

    phase: str
    why_paused: str
    copies: int
    canary: int
    counts: Mapping[str, int]
    expires: float
    next_at: float | None
    replies: tuple[tuple[int, str, int], ...]
    came_back: Mapping[str, int]
    held: int = 0


def put_on_its_way(
    store: Store, edition_id: int, identity: ListIdentity, key: bytes, *, canary: float = 0.0
) -> int:
    """Give every copy of an approved edition its place in the outbox; how many are new.

    canary: the share, from 0 to 1, that is sent first; the rest then waits for a word. Doing it
    again adds only what is missing, and changes nothing. Raises `BadInput` if it is not approved.
    """
    sender = checked_identity(identity)
    with writing(store) as db:
        found = db.execute(select(edition).where(edition.c.id == edition_id)).one_or_none()
        if found is None or found.state not in ("approved", "sending"):
            raise BadInput.at(Place("the edition"), "is not approved; nothing is sent before")
        over = dt.datetime.combine(found.first_day + WEEK, dt.time(), dt.UTC).timestamp()
        if over <= now():
            raise BadInput.at(Place("the edition"), "is of a week that is over; build a new one")
        sender = answered_at(sender, found.reply_to)
        phase = "canary" if canary else "open"
        if db.scalar(select(run.c.edition_id).where(run.c.edition_id == edition_id)) is None:
            db.execute(
                insert(run).values(
                    edition_id=edition_id, identity=asdict(sender), dated=float(int(now())),
                    expires=min(now() + LIFE_HOURS * 3600, over), phase=phase, resume_as=phase,
                )
            )  # fmt: skip
            db.execute(update(edition).where(edition.c.id == edition_id).values(state="sending"))
    name = edition_name(found.first_day)
    missing = (
        select(copy.c.id, copy.c.reader_id)
        .join(letter, letter.c.id == copy.c.letter_id)
        .outerjoin(mail, mail.c.copy_id == copy.c.id)
        # A reader may have wished for no mail in a week without work.
        .where(copy.c.edition_id == edition_id, mail.c.copy_id.is_(None), letter.c.text != "")
        # By the index of an edition's readers, or each batch would look through all of them.
        .order_by(copy.c.reader_id)
        .limit(_BATCH)
    )
    new, last = 0, 0
    while True:
        with writing(store) as db:
            if db.scalar(select(run.c.edition_id).where(run.c.edition_id == edition_id)) is None:
                raise BadInput.at(Place("the edition"), "was just taken back; nothing is sent")
            some = db.execute(missing.where(copy.c.reader_id > last)).all()
            rows = [
                {
                    "copy_id": row.id, "edition_id": edition_id,
                    "message_id": message_id(
                        key, sender.list_id, name, str(row.reader_id), sender.domain
                    ),
                    "canary": goes_first(name, row.reader_id, canary),
                }
                for row in some
            ]  # fmt: skip
            if not rows:
                return new
            db.execute(insert(mail), rows)
        new, last = new + len(rows), some[-1].reader_id


def edition_name(first_day: dt.date) -> str:
    """`2026-W36`: the ISO week of its first day."""
    year, week, _ = first_day.isocalendar()
    return f"{year}-W{week:02d}"


def go_on(store: Store, edition_id: int) -> None:
    """The word that lets the rest follow the canary share, or ends a pause.

    What ended badly before it does not count any more.
    """
    sent = select(func.count()).where(mail.c.edition_id == edition_id, mail.c.state == "sent")
    with writing(store) as db:
        this = update(run).where(run.c.edition_id == edition_id)
        db.execute(this.values(bad_ends=0, sent_before=sent.scalar_subquery()))
        db.execute(this.where(run.c.phase == "canary").values(phase="open", resume_as="open"))
        db.execute(this.where(run.c.phase == "paused").values(phase=run.c.resume_as, why_paused=""))


def close_if_done(store: Store, edition_id: int) -> None:
    """Mark an edition as done when nothing of it is left to send or to clear up."""
    left = select(mail.c.copy_id).where(mail.c.edition_id == edition_id, mail.c.state.not_in(FINAL))
    with writing(store) as db:
        if db.execute(left.limit(1)).first() is None:
            sent = update(edition).where(edition.c.id == edition_id, edition.c.state == "sending")
            db.execute(sent.values(state="done"))


def sender_of(store: Store, edition_id: int) -> tuple[ListIdentity, dt.datetime, str]:
    """The identity, the Date and the name of an edition on its way, as frozen when it set out."""
    with reading(store) as db:
        columns = select(run.c.identity, run.c.dated, edition.c.first_day)
        row = db.execute(
            columns.join(edition, edition.c.id == run.c.edition_id).where(
                run.c.edition_id == edition_id
            )
        ).one()
    dated = dt.datetime.fromtimestamp(row.dated, dt.UTC)
    return ListIdentity(**row.identity), dated, edition_name(row.first_day)


def letter_of(store: Store, copy_id: int) -> Letter:
    """The frozen texts of a copy."""
    with reading(store) as db:
        texts = select(letter.c.subject, letter.c.text, letter.c.html).join_from(copy, letter)
        return Letter(*db.execute(texts.where(copy.c.id == copy_id)).one())


def status_of(store: Store, edition_id: int) -> Status | None:
    """How an edition stands; None if it was never put on its way."""
    with reading(store) as db:
        this = db.execute(select(run).where(run.c.edition_id == edition_id)).one_or_none()
        if this is None:
            return None
        ours = mail.c.edition_id == edition_id
        counted = select(mail.c.state, func.count()).where(ours).group_by(mail.c.state)
        counts = {row[0]: row[1] for row in db.execute(counted)}
        canary = db.scalar(select(func.count()).where(ours, mail.c.canary)) or 0
        due = select(func.min(mail.c.next_at)).where(ours, mail.c.state == "ready")
        next_at = db.scalar(due)
        said = (
            select(mail.c.code, func.min(mail.c.said), func.count())
            .where(ours, mail.c.said != "", mail.c.state != "sent")
            .group_by(mail.c.code)
            .order_by(func.count().desc())
            .limit(8)
        )
        replies = tuple((code, text, n) for code, text, n in db.execute(said))
        kinds = select(report.c.kind, func.count(report.c.reader_id.distinct()))
        back = kinds.where(report.c.edition_id == edition_id).group_by(report.c.kind)
        came_back = {row[0]: row[1] for row in db.execute(back)}
        held = db.scalar(
            select(func.count(report.c.reader_id.distinct())).where(
                report.c.edition_id == edition_id,
                report.c.kind.in_(("hard", "soft")),
                report.c.acted_on.is_(False),
            )
        )
    full = {state: counts.get(state, 0) for state in STATES}
    return Status(
        this.phase,
        this.why_paused,
        sum(full.values()),
        canary,
        full,
        this.expires,
        next_at,
        replies,
        came_back,
        held or 0,
    )


def goes_first(name: str, reader_id: int, share: float) -> bool:
    """Whether a reader belongs to the canary share: drawn by a hash, so others each week.

    name: of the edition. share: from 0 to 1.
    """
    drawn = int.from_bytes(sha256(f"{name}\0{reader_id}".encode()).digest()[:8], "big")
    return drawn < share * 2.0**64
