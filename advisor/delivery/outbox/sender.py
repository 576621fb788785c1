"""Sending an edition: take what is due, send it, put down what became of it; over and over."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial
from pathlib import Path

from advisor.base.problems import BadInput
from advisor.delivery.letters.letter import list_message
from advisor.delivery.mails.guard import address as checked_address
from advisor.delivery.mails.tokens import bounce_address
from advisor.delivery.outbox.backoff import Backoff
from advisor.delivery.outbox.ledger import SLACK, read_ledger
from advisor.delivery.outbox.outbox import Claim, Outbox, Unknown, new_owner, now
from advisor.delivery.outbox.policy import Policy
from advisor.delivery.outbox.replies import Outcome, Reply, classify
from advisor.delivery.outbox.run import letter_of, sender_of
from advisor.delivery.outbox.server_settings import ServerSettings
from advisor.delivery.outbox.smtp_link import Link
from advisor.delivery.store.calendar_links import calendar_url
from advisor.delivery.store.engines import make_durable
from advisor.delivery.store.store import Store, StoreLost


@dataclass(frozen=True)
class Rules:
    """How to send. Times in seconds.

    interrupted: what to do with a mail that may have been accepted: ask the server's log, hold it
    for a person, or send it again. log: that log. settle: how long the log may lag. slack: by how
    much its times may be off. tries: before a reader, or the database, is given up. refused_share,
    refused_least: the run pauses when so many are refused.
    """

    interrupted: Policy = Policy.hold
    log: Path | None = None
    settle: float = 30.0
    slack: float = SLACK
    lease: float = 3600.0
    batch: int = 20
    tries: int = 8
    refused_share: float = 0.2
    refused_least: int = 20
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
        self._troubles = 0
        self._untold: set[int] = set()

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
            yield from (one.since + self._rules.settle for one in left)

    def _in_the_log(self) -> list[Unknown]:
        """Those that went to this sender's mail server; of others its log knows nothing."""
        return [one for one in self._outbox.unknown() if one.server == self._server]

    def look_after(self) -> None:
        """What is too late, what others left, and what is unknown."""
        self._outbox.expire()
        self._outbox.recover()
        if self._rules.interrupted is Policy.hold:
            return
        if self._rules.interrupted is Policy.resend:
            for one in self._outbox.unknown():
                self._outbox.resolve(one, "ready", "sent again after an interruption")
            return
        assert self._rules.log is not None
        ripe = [one for one in self._in_the_log() if one.since + self._rules.settle <= now()]
        if not ripe:
            return
        self._link.show_up()
        ledger = read_ledger(self._rules.log, {one.message_id for one in ripe})
        for one in ripe:
            became = ledger.became(one.message_id, one.began, self._rules.slack)
            if became is None:
                self._untold.add(one.copy_id)
            else:
                said = "in the server's log" if became else "not in the server's log"
                self._outbox.resolve(one, "sent" if became else "ready", said)

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
            if reply is not None and not self._settled(claim, reply):
                self._outbox.give_back(rest[1:])
                return

    def _message(self, claim: Claim, to: str) -> bytes:
        letter = letter_of(self._store, claim.copy_id)
        return list_message(
            letter, self._identity, self._key, edition=self._edition, dated=self._dated,
            reader=str(claim.reader_id), to=to,
            calendar=calendar_url(self._store, self._identity, self._key, claim.reader_id),
        )  # fmt: skip

    def _settled(self, claim: Claim, reply: Reply) -> bool:
        """Put down what became of it. False: let the others wait."""
        outcome, said = classify(reply), f"{reply.phase.value}: {reply.text}"
        box, rules = self._outbox, self._rules
        if outcome is Outcome.SENT:
            self._troubles = 0
            box.settle(claim, "sent", reply.code, reply.text)
            return True
        if outcome is Outcome.AMBIGUOUS:
            box.settle(claim, "unknown", reply.code, said, at=now())
            return True
        if outcome is Outcome.OURS:
            box.settle(claim, "ready", reply.code, said, tried=False)
            box.pause(f"the server refuses us at {said} ({reply.code})")
            return False
        if outcome is Outcome.FAILED or (
            outcome is Outcome.RETRY and claim.attempts + 1 >= rules.tries
        ):
            box.settle(claim, "failed", reply.code, said)
            failed, sent = box.refusals()
            if failed >= rules.refused_least and failed > rules.refused_share * (failed + sent):
                box.pause(f"{failed} of {failed + sent} were refused; look at the replies first")
                return False
            return True
        seconds = rules.backoff.wait(claim.attempts + 1, claim.message_id)
        if outcome is Outcome.RETRY:
            box.settle(claim, "ready", reply.code, said, at=now() + seconds)
            return True
        # A full or silent server says nothing about this reader: no try of it, but all slow down.
        self._troubles += 1
        box.settle(claim, "ready", reply.code, said, at=now() + seconds, tried=False)
        self._sleep(rules.connection.wait(self._troubles, claim.message_id))
        return False
