"""Sending an edition: take what is due, send it, put down what became of it; over and over."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from advisor.base.problems import BadInput
from advisor.base.record import Record, field
from advisor.mailing.letters.letter import list_message
from advisor.mailing.mails.guard import address as checked_address
from advisor.mailing.mails.tokens import bounce_address
from advisor.mailing.outbox.backoff import Backoff
from advisor.mailing.outbox.ledger import SLACK, read_ledger
from advisor.mailing.outbox.outbox import Claim, Outbox, Unknown, now
from advisor.mailing.outbox.owners import new_owner
from advisor.mailing.outbox.policy import Policy
from advisor.mailing.outbox.replies import Outcome, Phase, Reply, classify
from advisor.mailing.outbox.run import letter_of, sender_of
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.outbox.smtp_link import Link
from advisor.mailing.store.calendar_links import calendar_url
from advisor.mailing.store.engines import make_durable
from advisor.mailing.store.store import Store, StoreLost


class Rules(Record, frozen=True):
    """How to send. Times in seconds.

    interrupted: what to do with a mail that may have been accepted: ask the server's log, hold it
    for a person, or send it again. log: that log. settle: how long the log may lag. slack: by how
    much its times may be off. tries: before a reader, or the database, is given up; no mail's text
    goes out more often. bad_share, bad_least: the run pauses when so many tries end badly, refused
    for good or without an answer; silent_most: or so many in a row without an answer (our choice).
    """

    interrupted: Policy = Policy.hold
    log: Path | None = None
    settle: float = 30.0
    slack: float = SLACK
    lease: float = 3600.0
    batch: int = 20
    tries: int = 8
    bad_share: float = 0.2
    bad_least: int = 20
    silent_most: int = 5
    backoff: Backoff = field(default_factory=Backoff)
    connection: Backoff = field(default_factory=lambda: Backoff(first=10.0, longest=900.0))
    database: Backoff = field(default_factory=lambda: Backoff(first=1.0, longest=60.0))


class Sender:
    """One process that sends. key: for tokens and envelope senders."""

    def __init__(
        self, store: Store, edition_id: int, server: ServerSettings, key: bytes, rules: Rules,
        sleep: Callable[[float], None] = time.sleep,
    ) -> None:  # fmt: skip
        make_durable(store)
        self._store, self._key, self._rules, self._sleep = store, key, rules, sleep
        self._identity, self._dated, self._edition = sender_of(store, edition_id)
        self._outbox = Outbox(store, edition_id, new_owner(), rules.lease, server.name)
        self._link = Link(server)
        self._server = server.name
        # Without a mail sent between: troubles, and mails without an answer.
        self._troubles = self._silent = 0
        self._untold: set[int] = set()
        self._looked = 0.0

    def run(self, *, wait: bool = True) -> None:
        """Send until nothing is due. wait: also for later tries and the leases of others."""
        lost = 0
        try:
            while True:
                try:
                    if not self._turn(wait):
                        return
                    lost = 0
                except StoreLost:
                    lost += 1
                    if lost >= self._rules.tries:
                        raise
                    # As if this process had died: what it held is looked into like a dead one's.
                    self._link.close()
                    self._outbox.start_anew()
                    self._sleep(self._rules.database.wait(lost, self._outbox.owner))
        finally:
            self._link.close()

    def _turn(self, wait: bool) -> bool:
        """Send some, or wait for what is due. False: there is nothing left to do."""
        self.look_after()
        claims = self._outbox.claim(self._rules.batch)
        if claims:
            self._send_all(claims)
            return True
        due = min(self._due(), default=None)
        if due is None or not wait or self._outbox.paused():
            return False
        self._sleep(min(max(due - now(), 0.01), 30.0))
        return True

    def _due(self) -> Iterator[float]:
        """When to look again, for each reason there is."""
        due = self._outbox.next_due()
        if due is not None:
            yield due
        if self._rules.interrupted is Policy.reconcile:
            # One that the log could not tell of when it was ripe is left to a person.
            left = (one for one in self._in_the_log() if one.copy_id not in self._untold)
            yield from (max(one.since, self._looked) + self._rules.settle for one in left)

    def _in_the_log(self) -> list[Unknown]:
        """Those that went to this sender's mail server; of others its log knows nothing."""
        return [one for one in self._outbox.unknown() if one.server == self._server]

    def look_after(self) -> None:
        """What others left, what is unknown, and at last what is too late."""
        self._outbox.recover()
        if self._rules.interrupted is Policy.resend:
            for one in self._outbox.unknown():
                # After the last try it stays unknown: nobody can say that it was not taken.
                if one.attempts < self._rules.tries:
                    self._again(one, "sent again after an interruption")
        elif self._rules.interrupted is Policy.reconcile:
            self._look_up()
        self._outbox.expire()

    def _look_up(self) -> None:
        """Ask the server's log. It may be long, so not more often than it is given time to lag."""
        rules, moment = self._rules, now()
        ripe = [one for one in self._in_the_log() if one.since + rules.settle <= moment]
        if not ripe or moment < self._looked + rules.settle:
            return
        assert rules.log is not None
        self._link.show_up()
        ledger = read_ledger(rules.log, {one.message_id for one in ripe})
        self._looked = now()
        for one in ripe:
            became = ledger.became(one.message_id, one.began, rules.slack)
            if became is None:
                self._untold.add(one.copy_id)
            elif became:
                self._outbox.resolve(one, "sent", "in the server's log")
            elif one.attempts < rules.tries:
                self._again(one, "not taken, by the server's log")
            else:
                said = f"not taken, by the server's log; {one.attempts} tries"
                self._outbox.resolve(one, "failed", said)

    def _again(self, one: Unknown, said: str) -> None:
        wait = self._rules.backoff.wait(one.attempts, one.message_id)
        self._outbox.resolve(one, "ready", said, at=one.since + wait)

    def _send_all(self, claims: list[Claim]) -> None:
        renewed = now()
        for number, claim in enumerate(claims):
            rest = claims[number:]
            # Well before the lease ends, so that no other sender takes what is still to be sent.
            if now() > renewed + self._rules.lease / 3:
                self._outbox.renew(rest)
                renewed = now()
            try:
                to = checked_address(claim.address, "To")
                raw = claim.message or self._message(claim, to)
            except StoreLost:
                raise
            except BadInput as error:
                self._outbox.settle(claim, "failed", 0, str(error))
                continue
            envelope = bounce_address(
                self._key, self._identity.list_id, str(claim.reader_id), self._identity.bounces
            )
            reply = self._link.send(envelope, to, raw, partial(self._outbox.begin, claim, raw))
            wait = None if reply is None else self._settled(claim, reply)
            if wait is not None:
                self._outbox.give_back(rest[1:])
                self._sleep(wait)
                return

    def _message(self, claim: Claim, to: str) -> bytes:
        letter = letter_of(self._store, claim.copy_id)
        return list_message(
            letter, self._identity, self._key, edition=self._edition, dated=self._dated,
            reader=str(claim.reader_id), to=to,
            calendar=calendar_url(self._store, self._identity, self._key, claim.reader_id),
        )  # fmt: skip

    def _settled(self, claim: Claim, reply: Reply) -> float | None:
        """Put down what became of it. None: go on; else give the others back, and wait so long."""
        outcome, said = classify(reply), f"{reply.phase.value}: {reply.text}"
        box, rules = self._outbox, self._rules
        # Whatever was said to a whole text: it went out, and that is bounded.
        text_out = reply.phase is Phase.DOT
        last = claim.attempts + 1 >= rules.tries and (text_out or outcome is Outcome.RETRY)
        if outcome is Outcome.SENT:
            self._troubles = self._silent = 0
            box.settle(claim, "sent", reply.code, reply.text)
            return None
        if outcome is Outcome.AMBIGUOUS:
            self._silent += 1
            box.settle(claim, "unknown", reply.code, said, at=now())
            return 0.0 if self._stopped() else self._slower(claim)
        if outcome is Outcome.OURS:
            state = "failed" if last else "ready"
            box.settle(claim, state, reply.code, said, tried=text_out)
            box.pause(f"the server refuses us at {said} ({reply.code})")
            return 0.0
        if outcome is Outcome.FAILED or last:
            box.settle(claim, "failed", reply.code, said)
            return 0.0 if self._stopped() else None
        due = now() + rules.backoff.wait(claim.attempts + 1, claim.message_id)
        if outcome is Outcome.RETRY:
            box.settle(claim, "ready", reply.code, said, at=due)
            return None
        # A full or silent server says nothing about this reader, but all slow down.
        box.settle(claim, "ready", reply.code, said, at=due, tried=text_out)
        return self._slower(claim)

    def _slower(self, claim: Claim) -> float:
        """How long all should wait, since the server is in trouble: longer each time."""
        self._troubles += 1
        return self._rules.connection.wait(self._troubles, claim.message_id)

    def _stopped(self) -> bool:
        """Whether too many tries ended badly; then the run is paused."""
        rules = self._rules
        bad, sent = self._outbox.ends()
        why = ""
        if self._silent >= rules.silent_most:
            why = f"{self._silent} mails in a row went out whole, and the server said nothing"
        elif bad >= rules.bad_least and bad > rules.bad_share * (bad + sent):
            why = f"{bad} of {bad + sent} were refused or had no answer; look at the replies first"
        if why:
            self._outbox.pause(why)
        return bool(why)
