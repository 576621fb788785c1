"""The outbox: who holds which mail, and each change of its state, made by compare-and-set.

ready → claimed → sending → sent | ready (again later) | failed | unknown; and suppressed, expired.
A claim that ran out goes back to ready. A `sending` that ran out may have been accepted: unknown.
"""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import (
    ColumnElement,
    Engine,
    Float,
    and_,
    cast,
    exists,
    extract,
    func,
    literal,
    or_,
    select,
    update,
)  # fmt: skip

from advisor.base.dates import now_utc
from advisor.base.record import Record
from advisor.mailing.outbox.owners import alive, dead_here, new_owner
from advisor.mailing.readers.reader import address_hash
from advisor.mailing.store.outbox_tables import mail, run
from advisor.mailing.store.store import reading, retried, writing
from advisor.mailing.store.tables import copy, reader, suppression

#: Nothing more is to be done about these. `unknown` waits for a word, or for the server's log.
FINAL = ("sent", "failed", "suppressed", "expired")
#: The ends of a try that tell of a fault, of the server, the list or our own.
BAD = ("failed", "unknown")
STATES = ("ready", "claimed", "sending", "unknown", *FINAL)
_LONGEST_SAID = 300


class Claim(Record, frozen=True):
    """A mail that this sender holds until its lease runs out. message: the bytes of a first try."""

    copy_id: int
    reader_id: int
    address: str
    message_id: str
    attempts: int
    message: bytes | None


class Unknown(Record, frozen=True):
    """A mail that may or may not have been accepted.

    began: its sending; since: unknown since; server: the name of the mail server that was asked;
    attempts: tries so far, this one among them.
    """

    copy_id: int
    message_id: str
    began: float
    since: float
    server: str
    attempts: int


def now() -> float:
    """Seconds since 1970, in UTC."""
    return now_utc().timestamp()


class Outbox:
    """One edition's mails, as one sender sees them. lease: seconds; longer than any try takes.
    server: the name of the mail server that it hands them to.

    Leases are counted by the clock of the database, which all senders share; with SQLite that is
    this machine's. All other moments are those of this machine.
    """

    def __init__(
        self, store: Engine, edition_id: int, owner: str, lease: float, server: str = ""
    ) -> None:
        self.store, self.edition_id, self.owner, self.lease = store, edition_id, owner, lease
        self._server = server
        self._once: list[str] = []

    def start_anew(self) -> None:
        """Go on under another name: what the old one held counts as left by a dead sender."""
        self._once.append(self.owner)
        self.owner = new_owner()

    @retried
    def claim(self, most: int) -> list[Claim]:
        """Take up to so many mails that are due. No two senders get the same one."""
        with writing(self.store, alone=False) as db:
            phase = db.scalar(select(run.c.phase).where(run.c.edition_id == self.edition_id))
            if phase not in ("canary", "open"):
                return []
            due = [*self._in("ready"), mail.c.next_at <= now()]
            if phase == "canary":
                due.append(mail.c.canary)
            # In the order of the index, so that those already sent are not gone through each time.
            chosen = select(mail.c.copy_id).where(*due).order_by(mail.c.next_at).limit(most)
            ids = list(db.scalars(chosen.with_for_update(skip_locked=True)))
            taken = update(mail).where(mail.c.copy_id.in_(ids), mail.c.state == "ready")
            db.execute(taken.values(state="claimed", owner=self.owner, until=self._lease_end()))
            held = (
                select(
                    mail.c.copy_id, copy.c.reader_id, reader.c.address, mail.c.message_id,
                    mail.c.attempts, copy.c.message,
                )
                .join_from(mail, copy, copy.c.id == mail.c.copy_id)
                .join(reader, reader.c.id == copy.c.reader_id)
                .where(mail.c.copy_id.in_(ids), *self._mine("claimed"))
                .order_by(mail.c.copy_id)
            )  # fmt: skip
            return [Claim(*row) for row in db.execute(held)]

    @retried
    def begin(self, claim: Claim, message: bytes) -> bool:
        """Put down, before the first byte of the text goes out, that it does.

        False: it is not ours, or the reader has left the list up to this moment.
        """
        left = exists().where(suppression.c.address_hash == address_hash(claim.address))
        with writing(self.store, alone=False) as db:
            one = update(mail).where(mail.c.copy_id == claim.copy_id, *self._mine("claimed"))
            ours = db.execute(
                one.where(~left).values(
                    state="sending", began=now(), until=self._lease_end(),
                    attempts=claim.attempts + 1, server=self._server,
                )
            ).rowcount == 1  # fmt: skip
            if not ours:
                gone = {"state": "suppressed", "said": "left the list", "owner": "", "until": 0.0}
                db.execute(one.where(left).values(gone))
            elif claim.message is None:
                frozen = update(copy).where(copy.c.id == claim.copy_id)
                db.execute(frozen.values(message=message))
            return ours

    def renew(self, claims: Iterable[Claim]) -> None:
        """Hold what is still claimed for another lease."""
        self._claimed(claims, until=self._lease_end())

    def give_back(self, claims: Iterable[Claim]) -> None:
        """What was claimed and not begun, or begun without anything accepted."""
        self._claimed(claims, state="ready", owner="", until=0.0)

    @retried
    def settle(
        self, claim: Claim, state: str, code: int, said: str, *, at: float = 0.0, tried: bool = True
    ) -> bool:
        """The end of a try. at: when it is due again. False: it is no longer ours to say.

        tried: whether it counts as one; a busy server or our own fault is no try of this mail,
        unless its text went out.
        """
        with writing(self.store, alone=False) as db:
            one = update(mail).where(
                mail.c.copy_id == claim.copy_id,
                mail.c.owner == self.owner,
                mail.c.state.in_(("claimed", "sending")),
            )
            values = {
                "state": state, "code": code, "said": _said(said), "next_at": at,
                "owner": "", "until": 0.0, "attempts": claim.attempts + (1 if tried else 0),
            }  # fmt: skip
            ours = db.execute(one.values(values)).rowcount == 1
            if ours and state in BAD:
                this = update(run).where(run.c.edition_id == self.edition_id)
                db.execute(this.values(bad_ends=run.c.bad_ends + 1))
            return ours

    @retried
    def recover(self) -> None:
        """What senders that are gone left: claims are free again, what was begun is unknown."""
        over = mail.c.until <= self._clock()
        with writing(self.store, alone=False) as db:
            for state, left in (("claimed", "ready"), ("sending", "unknown")):
                owners = list(db.scalars(select(mail.c.owner).where(*self._in(state)).distinct()))
                gone = [owner for owner in owners if not alive(owner)]
                # A claim takes nothing from one who lives after all: its next step finds it gone.
                dead = [one for one in owners if dead_here(one)] if state == "claimed" else []
                old = or_(and_(over, mail.c.owner.in_(gone)), mail.c.owner.in_(self._once + dead))
                freed = update(mail).where(*self._in(state), old)
                db.execute(freed.values(state=left, owner="", until=0.0, next_at=now()))

    def unknown(self) -> list[Unknown]:
        """The mails that may or may not have been accepted."""
        columns = (
            mail.c.copy_id, mail.c.message_id, mail.c.began, mail.c.next_at, mail.c.server,
            mail.c.attempts,
        )  # fmt: skip
        with reading(self.store) as db:
            found = db.execute(select(*columns).where(*self._in("unknown")))
            return [Unknown(*row) for row in found]

    @retried
    def resolve(self, found: Unknown, state: str, said: str, *, at: float = 0.0) -> None:
        """An unknown one of which is known now what became of it. at: when it is due again.

        Nothing happens if another sender has resolved it meanwhile, even if its next try has been
        interrupted too: what was found out is about the try that `found` tells of.
        """
        same = (mail.c.copy_id == found.copy_id, mail.c.began == found.began)
        with writing(self.store, alone=False) as db:
            one = update(mail).where(*same, *self._in("unknown"))
            db.execute(one.values(state=state, said=_said(said), next_at=at))

    @retried
    def expire(self) -> None:
        """After the edition's last hour nothing more of it is begun."""
        late = select(run.c.edition_id).where(
            run.c.edition_id == self.edition_id, run.c.expires <= now()
        )
        with writing(self.store, alone=False) as db:
            waiting = update(mail).where(mail.c.edition_id.in_(late), mail.c.state == "ready")
            db.execute(waiting.values(state="expired"))

    @retried
    def pause(self, why: str) -> None:
        """Stop every sender of this edition until someone says to go on."""
        with writing(self.store, alone=False) as db:
            this = update(run).where(run.c.edition_id == self.edition_id, run.c.phase != "paused")
            db.execute(this.values(phase="paused", why_paused=_said(why)))

    def paused(self) -> bool:
        """Whether the run stands still."""
        with reading(self.store) as db:
            phase = select(run.c.phase).where(run.c.edition_id == self.edition_id)
            return db.scalar(phase) == "paused"

    def next_due(self) -> float | None:
        """When the next try is due or another's lease ends. None: nothing is left."""
        with reading(self.store) as db:
            phase = db.scalar(select(run.c.phase).where(run.c.edition_id == self.edition_id))
            waiting = [*self._in("ready"), *([mail.c.canary] if phase == "canary" else [])]
            held = (mail.c.edition_id == self.edition_id, mail.c.state.in_(("claimed", "sending")))
            found = (
                db.scalar(select(func.min(mail.c.next_at)).where(*waiting)),
                db.scalar(select(func.min(mail.c.until)).where(*held)),
            )
        return min((t for t in found if t is not None), default=None)

    def ends(self) -> tuple[int, int]:
        """How many tries of this edition ended badly, and how many mails were sent, since the
        editor last said to go on."""
        with reading(self.store) as db:
            of = select(run.c.bad_ends, run.c.sent_before)
            bad, before = db.execute(of.where(run.c.edition_id == self.edition_id)).one()
            sent = db.scalar(select(func.count()).where(*self._in("sent"))) or 0
        return bad, sent - before

    def _in(self, state: str) -> list[ColumnElement[bool]]:
        return [mail.c.edition_id == self.edition_id, mail.c.state == state]

    def _mine(self, state: str) -> tuple[ColumnElement[bool], ...]:
        return (mail.c.state == state, mail.c.owner == self.owner)

    def _clock(self) -> ColumnElement[float]:
        if self.store.dialect.name == "sqlite":
            return literal(now())
        return cast(extract("epoch", func.clock_timestamp()), Float)

    def _lease_end(self) -> ColumnElement[float]:
        return self._clock() + self.lease

    @retried
    def _claimed(self, claims: Iterable[Claim], **values: object) -> None:
        ids = [claim.copy_id for claim in claims]
        with writing(self.store, alone=False) as db:
            held = update(mail).where(mail.c.copy_id.in_(ids), *self._mine("claimed"))
            db.execute(held.values(values))


def _said(text: str) -> str:
    """As much of it as is kept. PostgreSQL takes no NUL."""
    return text[:_LONGEST_SAID].replace("\0", "\N{REPLACEMENT CHARACTER}")
