"""Replies against RFC 5321 (4.2.1, 4.2.2, 4.2.5, 3.8) and RFC 3463 (subject 7)."""

from __future__ import annotations

import pytest

from advisor.mailing.outbox.backoff import Backoff
from advisor.mailing.outbox.replies import BROKEN, Phase, Reply, classify


@pytest.mark.parametrize(
    ("phase", "code", "text", "outcome"),
    [
        (Phase.DOT, 250, "2.0.0 Ok: queued as 1", "sent"),
        (Phase.DOT, BROKEN, "timed out", "ambiguous"),
        (Phase.DOT, BROKEN, "Connection unexpectedly closed", "ambiguous"),
        (Phase.DOT, 354, "go on", "ambiguous"),
        (Phase.DOT, 421, "4.3.2 closing", "slow"),
        (Phase.DOT, 451, "4.3.0 local error", "retry"),
        (Phase.DOT, 452, "4.3.1 full", "slow"),
        (Phase.DOT, 550, "5.1.1 no such user", "failed"),
        (Phase.DOT, 554, "5.6.0 bad content", "failed"),
        (Phase.DOT, 550, "5.7.26 not authenticated", "ours"),
        (Phase.RCPT, 450, "4.2.1 busy", "retry"),
        (Phase.RCPT, 451, "", "retry"),
        (Phase.RCPT, 452, "too many", "slow"),
        (Phase.RCPT, 421, "", "slow"),
        (Phase.RCPT, 550, "5.1.1 no mailbox", "failed"),
        (Phase.RCPT, 553, "", "failed"),
        (Phase.RCPT, 554, "5.7.1 access denied", "ours"),
        (Phase.RCPT, 530, "authentication required", "ours"),
        (Phase.RCPT, BROKEN, "reset", "slow"),
        (Phase.DATA, 554, "no valid recipients", "failed"),
        (Phase.DATA, 451, "", "retry"),
        (Phase.DATA, BROKEN, "", "slow"),
        (Phase.MAIL, 550, "5.1.8 bad sender", "ours"),
        (Phase.MAIL, 451, "", "slow"),
        (Phase.MAIL, 552, "message too large", "ours"),
        (Phase.LOGIN, 535, "5.7.8 wrong password", "ours"),
        (Phase.LOGIN, 454, "4.7.0 temporary", "slow"),
        (Phase.GREET, 502, "", "ours"),
        (Phase.CONNECT, 554, "no service", "ours"),
        (Phase.CONNECT, 421, "busy", "slow"),
        (Phase.CONNECT, BROKEN, "refused", "slow"),
    ],
)
def test_each_reply_by_its_phase(phase, code, text, outcome):
    assert classify(Reply(phase, code, text)) == outcome


def test_nothing_but_250_after_the_dot_is_sent():
    for phase in Phase:
        for code in range(200, 600):
            outcome = classify(Reply(phase, code, ""))
            assert (outcome == "sent") == (phase is Phase.DOT and code < 300)
            if outcome == "failed":
                assert code >= 500


def test_waits_grow_to_a_limit_and_are_the_same_for_the_same_seed():
    made = Backoff(first=60, longest=3600, spread=0.25)
    waits = [made.wait(attempt, "<a@b>") for attempt in range(1, 40)]
    assert waits == [made.wait(attempt, "<a@b>") for attempt in range(1, 40)]
    for attempt, wait in enumerate(waits):
        assert 0.75 <= wait / min(60 * 2**attempt, 3600) <= 1.25
    spread = {made.wait(3, f"<{n}@b>") for n in range(50)}
    assert len(spread) == 50
    assert max(spread) - min(spread) > 60  # of 240: they do not all come back at once
