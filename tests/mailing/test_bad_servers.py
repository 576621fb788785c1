"""A sender against servers that break off, refuse everybody or hang up: real SMTP (aiosmtpd).

RFC 5321 section 4.5.3.2.6 says that a line lost after the dot leaves it open whether a mail was
taken; so each such end may be a mail in somebody's box, and their number must be bounded.
"""

from __future__ import annotations

import tempfile
from pathlib import Path

import pytest
from bad_server import DROP, Decided, bad_server, takes
from hypothesis import given, settings
from hypothesis import strategies as st
from kills import invented_edition, rules, store_at
from mail_samples import KEY
from sqlalchemy import select

from advisor.mailing.outbox.backoff import Backoff
from advisor.mailing.outbox.outbox import now
from advisor.mailing.outbox.run import go_on, status_of
from advisor.mailing.outbox.sender import Rules, Sender
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.store.outbox_tables import mail
from advisor.mailing.store.store import reading
from advisor.mailing.use_cases.sending import status_text

pytestmark = pytest.mark.slow

USUAL = Rules()
# Memory, where there is any, so that a slow disk does not make the test slow.
MEMORY = "/dev/shm" if Path("/dev/shm").is_dir() else None


def send(folder, port, made, sleep=lambda seconds: None, wait=True):
    store = store_at(folder)
    server = ServerSettings("127.0.0.1", port, "none", patience=5.0, after_dot=5.0)
    Sender(store, 1, server, KEY, made, sleep=sleep).run(wait=wait)
    found = status_of(store, 1)
    store.dispose()
    return found


def usual(folder, policy, **given):
    """The rules as they are, with the waits of a test."""
    kept = {name: getattr(USUAL, name) for name in ("tries", "batch", "lease")}
    breaker = {n: getattr(USUAL, n) for n in ("bad_least", "bad_share", "silent_most")}
    return rules(folder, policy, **{**kept, **breaker, **given})


def say_go_on(folder):
    store = store_at(folder)
    go_on(store, 1)
    store.dispose()


@pytest.mark.parametrize("policy", ["hold", "resend", "reconcile"])
def test_a_server_that_takes_texts_and_breaks_off_is_stopped_soon(tmp_path, policy):
    invented_edition(tmp_path, 60)
    (tmp_path / "mail.log").write_text("2026-01-01T00:00:00+00:00 mx postfix/smtpd[2]: x\n")
    naps = []
    made = usual(tmp_path, policy, connection=USUAL.connection, backoff=USUAL.backoff)
    handler = Decided(takes, lambda address, number: DROP)
    with bad_server(handler) as port:
        found = send(tmp_path, port, made, naps.append)
    assert found.phase == "paused"
    assert handler.texts.total() == USUAL.silent_most
    assert max(handler.texts.values()) == 1
    # Each wait is longer than the one before, by more than what is drawn at random.
    waits = [nap for nap in naps if nap >= 1.0]
    assert len(waits) == USUAL.silent_most - 1
    assert waits == sorted(waits)
    said = status_text(found, now(), tmp_path)
    assert "PAUSED: 5 mails in a row went out whole, and the server said nothing" in said
    assert f"advisor mail send {tmp_path} --rest" in said
    # Under resend the last one waits for its next try already.
    assert found.counts["unknown"] == (0 if policy == "resend" else USUAL.silent_most)
    if policy != "resend":
        assert said.index("--log mail.log") < said.index("--interrupted resend")
        assert "Only if you are sure that the server took none" in said


def test_sending_again_and_again_ends_even_if_the_editor_always_says_go_on(tmp_path):
    invented_edition(tmp_path, 3)
    made = usual(tmp_path, "resend", tries=4, backoff=Backoff(first=0.0))
    handler = Decided(takes, lambda address, number: DROP)
    with bad_server(handler) as port:
        for _ in range(20):
            found = send(tmp_path, port, made)
            say_go_on(tmp_path)
    assert set(handler.texts.values()) == {4}
    assert found.counts["unknown"] == 3
    assert "Unknown ones may have reached their readers" in status_text(found, now(), tmp_path)


def test_what_is_sent_again_waits_longer_each_time(tmp_path):
    invented_edition(tmp_path, 1)
    made = usual(tmp_path, "resend", backoff=USUAL.backoff, silent_most=10**6)
    handler = Decided(takes, lambda address, number: DROP)
    waits = []
    with bad_server(handler) as port:
        for _ in range(4):
            store = store_at(tmp_path)
            send(tmp_path, port, made, wait=False)
            begun = now()
            send(tmp_path, port, made, wait=False)
            with reading(store) as db:
                state, due = db.execute(select(mail.c.state, mail.c.next_at)).one()
            assert state == "ready"
            waits.append(due - begun)
            store.dispose()
            an_hour_goes_by(tmp_path)
    assert handler.texts.total() == 4
    for number, wait in enumerate(waits):
        assert wait == pytest.approx(60.0 * 2**number, rel=0.3)


def test_a_few_lost_answers_among_many_stop_nothing(tmp_path):
    invented_edition(tmp_path, 60)
    lost = {f"plain-{n}@example.com" for n in (5, 25, 45)}
    handler = Decided(takes, lambda address, n: DROP if address in lost else "250 OK")
    with bad_server(handler) as port:
        found = send(tmp_path, port, usual(tmp_path, "hold"))
    assert (found.phase, found.counts["sent"], found.counts["unknown"]) == ("open", 57, 3)


def test_refused_and_unanswered_ones_count_together(tmp_path):
    """Neither the refused nor the unanswered alone would be a fifth."""
    invented_edition(tmp_path, 300)
    number = {f"plain-{n}@example.com": n for n in range(300)}

    def to_reader(address, _):
        return "550 5.1.1 no such mailbox" if number[address] % 8 == 0 else "250 OK"

    def to_text(address, _):
        return DROP if number[address] % 8 == 4 else "250 OK"

    handler = Decided(to_reader, to_text)
    with bad_server(handler) as port:
        found = send(tmp_path, port, usual(tmp_path, "hold"))
        assert found.phase == "paused"
        bad = found.counts["failed"] + found.counts["unknown"]
        assert USUAL.bad_least <= bad <= USUAL.bad_least + 5
        assert min(found.counts["failed"], found.counts["unknown"]) >= 5
        assert f"{bad} of {bad + found.counts['sent']} were refused or had no answer" in (
            found.why_paused
        )
        # After the word, what was before does not count again: the next bad end stops nothing.
        say_go_on(tmp_path)
        more = send(tmp_path, port, usual(tmp_path, "hold"))
    assert more.counts["failed"] + more.counts["unknown"] >= bad + USUAL.bad_least


def test_a_server_that_refuses_everybody_refuses_only_a_few(tmp_path):
    invented_edition(tmp_path, 200)
    handler = Decided(lambda address, n: "550 5.1.1 no such mailbox", takes, errors_allowed=20)
    naps = []
    with bad_server(handler) as port:
        found = send(tmp_path, port, usual(tmp_path, "hold"), naps.append)
    assert (found.phase, found.counts["failed"]) == ("paused", USUAL.bad_least)
    # It was left before it hung up with 421, so nobody had to wait for that.
    assert handler.hung_up == 0
    assert not [nap for nap in naps if nap]


def test_a_line_that_breaks_before_the_text_is_no_try(tmp_path):
    invented_edition(tmp_path, 20)
    handler = Decided(lambda address, n: DROP if n < 12 else "250 OK", takes)
    with bad_server(handler) as port:
        found = send(tmp_path, port, usual(tmp_path, "hold"))
    assert found.counts["sent"] == 20


AT_READER = ("250 OK", "250 OK", "450 4.2.1 busy", "421 4.3.2 closing", "550 5.1.1 none", DROP)
AT_TEXT = ("250 OK", DROP, DROP, "421 4.3.2 closing", "451 4.3.0 later", "452 4.3.1 full",
           "554 5.6.0 not so", "550 5.7.1 policy", "999 what")  # fmt: skip


def an_hour_goes_by(folder):
    """What waits is due, and the editor says to go on."""
    store = store_at(folder)
    with store.begin() as db:
        db.execute(mail.update().where(mail.c.state == "ready").values(next_at=0.0))
    store.dispose()
    say_go_on(folder)


@settings(max_examples=8, deadline=None)
@given(
    policy=st.sampled_from(["hold", "resend", "resend", "reconcile"]),
    tries=st.integers(1, 3),
    readers=st.lists(st.sampled_from(AT_READER), min_size=1, max_size=12),
    texts=st.lists(st.sampled_from(AT_TEXT), min_size=1, max_size=12),
)
def test_no_text_goes_out_more_often_than_there_are_tries(policy, tries, readers, texts):
    """Whatever the server says or does not say, and however often the editor says to go on."""
    with tempfile.TemporaryDirectory(dir=MEMORY) as name:
        folder = Path(name)
        invented_edition(folder, 4)
        # A log in which nothing is found: by it, no text was ever taken.
        (folder / "mail.log").write_text("2026-01-01T00:00:00+00:00 mx postfix/smtpd[2]: x\n")
        later = Backoff(first=3600.0)
        made = usual(folder, policy, tries=tries, backoff=later, settle=0.0)
        handler = Decided(
            lambda address, n: readers[(len(address) + n) % len(readers)],
            lambda address, n: texts[(int(address[6]) + n) % len(texts)],
        )
        with bad_server(handler) as port:
            for _ in range(2 * tries + 2):
                found = send(folder, port, made, wait=False)
                an_hour_goes_by(folder)
        assert all(times <= tries for times in handler.texts.values())
        assert sum(found.counts.values()) == 4
