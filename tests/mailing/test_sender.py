"""The sender against a real SMTP server (aiosmtpd) with faults, and the outbox's promises."""

from __future__ import annotations

import datetime as dt
import socket
import subprocess
from email import message_from_bytes
from email.policy import strict

import pytest
from kills import FAULTS, invented_edition, rules, send, server_process, store_at
from mail_samples import IDENTITY, KEY
from sqlalchemy import insert, select, update

from advisor.base.problems import BadInput
from advisor.mailing.outbox.outbox import Outbox, new_owner, now
from advisor.mailing.outbox.run import go_on, put_on_its_way, status_of
from advisor.mailing.outbox.sender import Sender
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.store.outbox_tables import mail, run
from advisor.mailing.store.reader_tables import address_hash, suppress
from advisor.mailing.store.store import reading, writing
from advisor.mailing.store.tables import copy, edition, reader, suppression
from advisor.mailing.use_cases.sending import status_text

pytestmark = pytest.mark.slow


@pytest.fixture
def folder(on_both):
    invented_edition(on_both, 12)
    return on_both


def change(folder, statement):
    store = store_at(folder)
    with writing(store) as db:
        db.execute(statement)
    store.dispose()


def status(folder):
    store = store_at(folder)
    found = status_of(store, 1)
    store.dispose()
    return found


def journal(folder):
    path = folder / "journal"
    return path.read_text().splitlines() if path.exists() else []


def test_everyone_gets_one_and_faults_end_as_they_must(tmp_path):
    invented_edition(tmp_path, 40, faults=1)
    with server_process(tmp_path, 1) as port:
        send(tmp_path, port, rules(tmp_path, "reconcile"))
    counts = status(tmp_path).counts
    assert counts["sent"] == 40 - 3
    assert counts["failed"] == 3  # r550, r551, r554 of FAULTS
    assert sum(counts.values()) == 40
    assert {"r550", "r551", "r554"} < set(FAULTS)
    taken = [line.split()[0] for line in journal(tmp_path)]
    assert len(taken) == len(set(taken)) == 37


def test_a_second_run_sends_nothing(folder):
    with server_process(folder, 1) as port:
        send(folder, port, rules(folder, "hold"))
        store = store_at(folder)
        assert put_on_its_way(store, 1, IDENTITY, KEY) == 0
        store.dispose()
        send(folder, port, rules(folder, "hold"))
    assert len(journal(folder)) == 12


def test_one_who_left_gets_nothing_even_after_the_edition_set_out(folder):
    gone = address_hash("PLAIN-3@example.com")
    on = dt.date(2026, 9, 5)
    change(folder, insert(suppression).values(address_hash=gone, reason="asked", suppressed_on=on))
    with server_process(folder, 1) as port:
        send(folder, port, rules(folder, "hold"))
    assert status(folder).counts["suppressed"] == 1
    assert "plain-3@" not in "".join(journal(folder))
    assert len(journal(folder)) == 11


def test_nothing_goes_out_after_the_last_hour(folder):
    change(folder, update(run).values(expires=now() - 1))
    with server_process(folder, 1) as port:
        send(folder, port, rules(folder, "hold"))
    assert status(folder).counts["expired"] == 12
    assert journal(folder) == []


def test_an_edition_that_nobody_approved_is_not_sent(tmp_path):
    store = store_at(tmp_path)
    day = dt.date(2026, 9, 4)
    with writing(store) as db:
        draft = {"list_name": "l", "first_day": day, "rulebook_hash": "h"}
        db.execute(insert(edition).values(id=1, **draft))
    with pytest.raises(BadInput, match="is not approved"):
        put_on_its_way(store, 1, IDENTITY, KEY)
    store.dispose()


@pytest.mark.slow
def test_the_canary_share_goes_first_and_the_rest_waits_for_a_word(tmp_path):
    invented_edition(tmp_path, 200)
    change(tmp_path, mail.delete())
    change(tmp_path, run.delete())
    change(tmp_path, update(edition).values(state="approved"))
    store = store_at(tmp_path)
    put_on_its_way(store, 1, IDENTITY, KEY, canary=0.1)
    with server_process(tmp_path, 1) as port:
        send(tmp_path, port, rules(tmp_path, "hold"))
        found = status(tmp_path)
        assert 8 <= found.canary <= 35  # of 200, a tenth expected
        assert len(journal(tmp_path)) == found.canary == found.counts["sent"]
        assert "the rest waits" in status_text(found, now(), tmp_path)
        go_on(store, 1)
        send(tmp_path, port, rules(tmp_path, "hold"))
    store.dispose()
    assert status(tmp_path).counts["sent"] == 200 == len(journal(tmp_path))


def test_too_many_refusals_stop_the_run(tmp_path):
    invented_edition(tmp_path, 60, faults=6)
    with server_process(tmp_path, 1) as port:
        send(tmp_path, port, rules(tmp_path, "reconcile", bad_least=5, bad_share=0.1))
    found = status(tmp_path)
    assert found.phase == "paused"
    assert "were refused" in found.why_paused
    assert "PAUSED" in status_text(found, now(), tmp_path)
    assert found.counts["ready"] > 0


def test_a_server_that_is_not_there_costs_nobody_a_try(folder, monkeypatch):
    naps = []
    store = store_at(folder)

    class Enough(Exception):
        pass

    def nap(seconds):
        naps.append(seconds)
        if len(naps) > 4:
            raise Enough

    nowhere = ServerSettings("127.0.0.1", 9, "none", patience=1.0)
    with pytest.raises(Enough):
        Sender(store, 1, nowhere, KEY, rules(folder, "hold"), sleep=nap).run()
    with reading(store) as db:
        assert set(db.scalars(select(mail.c.attempts))) == {0}
    store.dispose()
    assert status(folder).counts["failed"] == 0


def test_two_senders_never_hold_the_same_mail(folder):
    store = store_at(folder)
    one, two = (Outbox(store, 1, new_owner(), 60.0) for _ in range(2))
    first, second = one.claim(7), two.claim(7)
    assert len(first) == 7
    assert len(second) == 5
    assert not {c.copy_id for c in first} & {c.copy_id for c in second}
    assert not two.begin(first[0], b"x")
    assert not two.settle(first[0], "sent", 250, "")
    assert one.begin(first[0], b"x")
    assert not one.begin(first[0], b"x")
    store.dispose()


def test_a_retry_sends_the_bytes_of_the_first_try(folder):
    store = store_at(folder)
    box = Outbox(store, 1, new_owner(), 60.0)
    (claim,) = box.claim(1)
    assert claim.message is None
    box.begin(claim, b"the first bytes")
    box.settle(claim, "ready", 451, "later")
    # Among equals the database may choose.
    (again,) = (one for one in box.claim(12) if one.copy_id == claim.copy_id)
    assert again.message == b"the first bytes"
    assert again.attempts == 1
    store.dispose()


def test_what_is_frozen_is_a_sound_mail_and_erasing_a_reader_erases_it(folder):
    with server_process(folder, 1) as port:
        send(folder, port, rules(folder, "hold"))
    store = store_at(folder)
    with reading(store) as db:
        frozen = list(db.scalars(select(copy.c.message)))
    assert len(frozen) == 12
    for raw in frozen:
        assert not message_from_bytes(raw, policy=strict).defects
    with writing(store) as db:
        db.execute(reader.delete().where(reader.c.id == 1))
        assert db.scalar(select(mail.c.copy_id).where(mail.c.copy_id == 1)) is None
    store.dispose()


def test_a_dead_senders_claim_is_free_and_its_sending_is_unknown(folder):
    store = store_at(folder)
    box = Outbox(store, 1, "elsewhere/1/x", 0.0)
    claimed, begun = box.claim(2)
    box.begin(begun, b"x")
    other = Outbox(store, 1, new_owner(), 60.0)
    other.recover()
    assert [one.copy_id for one in other.unknown()] == [begun.copy_id]
    assert claimed.copy_id in {c.copy_id for c in other.claim(50)}
    assert not box.settle(begun, "sent", 250, "")
    store.dispose()


def test_what_a_dead_sender_of_this_machine_had_not_begun_is_free_at_once(folder):
    """What it had begun waits for its lease: only there would a mistake make a double."""
    with subprocess.Popen(["true"]) as gone:
        pass
    store = store_at(folder)
    box = Outbox(store, 1, f"{socket.gethostname()[:60]}/{gone.pid}/x", 3600.0)
    claims = box.claim(12)
    box.begin(claims[0], b"x")
    other = Outbox(store, 1, new_owner(), 60.0)
    other.recover()
    assert len(other.claim(12)) == 11
    assert other.unknown() == []
    assert box.settle(claims[0], "sent", 250, "")
    assert not box.begin(claims[1], b"x")
    store.dispose()


def test_a_live_senders_mails_are_left_alone_though_the_clock_jumps(folder):
    store = store_at(folder)
    box = Outbox(store, 1, new_owner(), 0.0)
    first, _ = box.claim(2)
    box.begin(first, b"x")
    Outbox(store, 1, new_owner(), 60.0).recover()
    assert box.settle(first, "sent", 250, "")
    store.dispose()


def test_what_the_log_cannot_tell_is_left_to_a_person_and_the_sender_ends(folder):
    change(folder, update(mail).values(state="sent"))
    change(folder, update(mail).where(mail.c.copy_id == 1).values(state="unknown", began=1.0))
    with server_process(folder, 1) as port:
        store = store_at(folder)
        server = ServerSettings("127.0.0.1", port, "none", patience=5.0)
        Sender(store, 1, server, KEY, rules(folder, "reconcile")).run()
        store.dispose()
    assert status(folder).counts["unknown"] == 1


@pytest.mark.parametrize(("other", "left"), [(False, 0), (True, 1)])
def test_only_what_went_to_its_own_mail_server_is_looked_up(folder, other, left):
    """A log of another server, in which the mail is missing, would free it for a second time."""
    with server_process(folder, 1) as port:
        store = store_at(folder)
        server = ServerSettings("127.0.0.1", port, "none", patience=5.0)
        name = "mx.example.org:587" if other else server.name
        box = Outbox(store, 1, "elsewhere/1/x", 0.0, name)
        (claim,) = box.claim(1)
        box.begin(claim, f"Message-ID: {claim.message_id}\r\n\r\nx\r\n".encode())
        Sender(store, 1, server, KEY, rules(folder, "reconcile")).run()
        store.dispose()
    counts = status(folder).counts
    assert (counts["unknown"], counts["sent"]) == (left, 12 - left)


def test_a_server_has_one_name_on_all_machines_and_a_local_one_has_its_machines(monkeypatch):
    monkeypatch.setattr("socket.gethostname", lambda: "Barn.example.org")

    def name(host, port=25):
        return ServerSettings(host, port, "none").name

    assert name("MX.example.org.") == name("mx.example.org") == "mx.example.org:25"
    assert name("localhost") == name("127.0.0.1") == name("::1") == "barn.example.org:25"
    assert len({name("mx.example.org"), name("mx.example.org", 587), name("localhost")}) == 3


def test_one_who_leaves_after_the_claim_gets_nothing(folder):
    store = store_at(folder)
    box = Outbox(store, 1, new_owner(), 60.0)
    first, second = box.claim(2)
    suppress(store, first.address.upper(), "asked", dt.date(2026, 9, 5))
    assert not box.begin(first, b"x")
    assert not box.settle(first, "sent", 250, "")
    assert box.begin(second, b"x")
    counts = status_of(store, 1).counts
    assert (counts["suppressed"], counts["sending"], counts["claimed"]) == (1, 1, 0)
    store.dispose()


def test_what_the_log_told_of_one_try_is_not_taken_for_the_next(folder):
    """Two senders look the same mail up; the slower one must not free it a second time."""
    store = store_at(folder)
    one, two = (Outbox(store, 1, new_owner(), 60.0) for _ in range(2))
    (claim, *_) = one.claim(12)
    one.begin(claim, b"x")
    one.settle(claim, "unknown", 0, "", at=now())
    (seen,) = two.unknown()
    one.resolve(one.unknown()[0], "ready", "not in the server's log")
    (again,) = one.claim(12)
    assert again.copy_id == claim.copy_id
    one.begin(again, b"x")
    one.settle(again, "unknown", 0, "", at=now())
    two.resolve(seen, "ready", "not in the server's log")
    assert [found.copy_id for found in two.unknown()] == [claim.copy_id]
    store.dispose()


def test_a_reply_is_kept_whatever_bytes_it_holds(folder):
    store = store_at(folder)
    box = Outbox(store, 1, new_owner(), 60.0)
    (claim,) = box.claim(1)
    assert box.settle(claim, "failed", 550, "no\0 such \N{SNOWMAN} mailbox" * 40)
    store.dispose()
