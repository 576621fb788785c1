"""What many senders on PostgreSQL may rely on. Reference: PostgreSQL's manual, chapter 13.

A lock that is waited for in vain fails by `lock_timeout` instead of hanging.
"""

from __future__ import annotations

import datetime as dt
import multiprocessing
import threading
from concurrent.futures import ThreadPoolExecutor

import psycopg
import pytest
from kills import invented_edition, rules, server_process, store_at, use_database
from mail_samples import IDENTITY, KEY
from sqlalchemy import event, func, select, text, update

from advisor.base.problems import BadInput
from advisor.mailing.outbox import outbox
from advisor.mailing.outbox.outbox import Outbox, new_owner, now
from advisor.mailing.outbox.run import put_on_its_way, status_of
from advisor.mailing.outbox.sender import Sender
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.store.edition_tables import open_edition
from advisor.mailing.store.outbox_tables import mail, run
from advisor.mailing.store.reader_tables import suppress
from advisor.mailing.store.store import STEPS, open_store, reading, retried, writing
from advisor.mailing.store.tables import edition, reader

pytestmark = pytest.mark.slow

MAILS = 60


@pytest.fixture
def url(cluster):
    return f"{cluster.database()}&options=-c%20lock_timeout%3D5000"


@pytest.fixture
def folder(tmp_path, url):
    use_database(tmp_path, url)
    invented_edition(tmp_path, MAILS)
    return tmp_path


@pytest.fixture
def store(folder):
    made = store_at(folder)
    yield made
    made.dispose()


def at_once(work, times):
    """Call it in so many threads that start together; their results."""
    gate = threading.Barrier(times)

    def one(_):
        gate.wait()
        return work()

    with ThreadPoolExecutor(times) as pool:
        return list(pool.map(one, range(times)))


def claim_all(folder, found):
    """Claim three by three in two threads until nothing is left."""
    store = store_at(folder)

    def work():
        box, mine = Outbox(store, 1, new_owner(), 60.0), []
        while claims := box.claim(3):
            mine += [claim.copy_id for claim in claims]
        return mine

    found.put([id for mine in at_once(work, 2) for id in mine])
    store.dispose()


def test_no_mail_is_claimed_twice_by_threads_and_processes(folder):
    fork = multiprocessing.get_context("fork")
    found = fork.Queue()
    workers = [fork.Process(target=claim_all, args=(folder, found)) for _ in range(3)]
    for worker in workers:
        worker.start()
    shares = [found.get(timeout=60) for _ in workers]
    for worker in workers:
        worker.join()
    assert sorted(id for share in shares for id in share) == list(range(1, MAILS + 1))


def test_a_locked_mail_is_passed_over_and_not_waited_for(store):
    with writing(store, alone=False) as held:
        locked = set(held.scalars(select(mail.c.copy_id).limit(7).with_for_update()))
        others = {claim.copy_id for claim in Outbox(store, 1, new_owner(), 60.0).claim(MAILS)}
    assert len(others) == MAILS - 7
    assert not others & locked


def test_leases_run_by_the_clock_of_the_database(store, monkeypatch):
    box = Outbox(store, 1, "elsewhere/1/x", 3600.0)
    held = {claim.copy_id for claim in box.claim(5)}
    other = Outbox(store, 1, new_owner(), 60.0)
    # This machine's clock is a day ahead; the hour of the lease has only begun all the same.
    monkeypatch.setattr(outbox, "now", lambda: now() + 86_400)
    other.recover()
    assert not held & {claim.copy_id for claim in other.claim(MAILS)}
    with writing(store) as db:
        db.execute(update(mail).where(mail.c.copy_id.in_(held)).values(until=now() - 1))
    monkeypatch.setattr(outbox, "now", lambda: now() - 86_400)
    other.recover()
    with reading(store) as db:
        free = db.scalars(select(mail.c.state).where(mail.c.copy_id.in_(held)))
        assert set(free) == {"ready"}


def test_programs_that_start_together_migrate_once(url):
    for store in at_once(lambda: open_store(url), 6):
        store.dispose()
    store = open_store(url)
    with reading(store) as db:
        versions = db.scalars(text("SELECT version FROM schema_version ORDER BY 1")).all()
    assert versions == list(range(1, len(STEPS) + 1))
    store.dispose()


def test_an_edition_sets_out_once(store):
    with writing(store) as db:
        db.execute(mail.delete())
        db.execute(run.delete())
        db.execute(update(edition).values(state="approved"))
    new = at_once(lambda: put_on_its_way(store, 1, IDENTITY, KEY), 4)
    assert sum(new) == MAILS
    assert sum(status_of(store, 1).counts.values()) == MAILS


def test_two_at_once_get_the_same_edition_and_a_reader_leaves_once(url):
    store, day = open_store(url), dt.date(2026, 9, 7)
    assert len(set(at_once(lambda: open_edition(store, "other", day, "h").id, 4))) == 1
    left = at_once(lambda: suppress(store, "plain-1@example.com", "asked", day), 4)
    assert sorted(left) == [False, False, False, True]
    store.dispose()


def test_one_can_leave_while_an_import_or_a_build_writes(store):
    with writing(store):
        assert suppress(store, "plain-1@example.com", "asked", dt.date(2026, 9, 7))


def test_a_deadlock_is_done_again(store):
    gate = threading.Barrier(2)

    @retried
    def swap(first, second, met=[]):  # noqa: B006 (to meet only once)
        with writing(store, alone=False) as db:
            for id in (first, second):
                more = update(reader).where(reader.c.id == id)
                db.execute(more.values(name=reader.c.name + "x"))
                if len(met) < 2:
                    met.append(id)
                    gate.wait()

    with ThreadPoolExecutor(2) as pool:
        for done in [pool.submit(swap, 1, 2), pool.submit(swap, 2, 1)]:
            done.result()
    with reading(store) as db:
        assert set(db.scalars(select(reader.c.name).where(reader.c.id < 3))) == {"xx"}


def test_reading_sees_one_state_whatever_others_write(store):
    count = select(func.count()).where(mail.c.state == "ready")
    with reading(store) as db:
        before = db.scalar(count)
        Outbox(store, 1, new_owner(), 60.0).claim(5)
        assert db.scalar(count) == before == MAILS


@pytest.mark.slow
@pytest.mark.parametrize("cut", ["begin", "settle", "recover"])
def test_a_lost_line_to_the_database_costs_no_mail_and_doubles_none(folder, monkeypatch, cut):
    """Cut just before a change is committed: whether it stands, the sender cannot know."""
    cut_at, calls, plain = {"begin": 4, "settle": 6, "recover": 2}[cut], [], getattr(Outbox, cut)

    def counted(self, *given, **named):
        calls.append("waiting" if len(calls) + 1 == cut_at else "")
        return plain(self, *given, **named)

    def cut_all(connection):
        if calls and calls[-1] == "waiting":
            calls[-1] = "done"
            url = connection.engine.url
            with psycopg.connect(host=url.query["host"], user="turf", dbname=url.database) as db:
                db.execute(
                    "SELECT pg_terminate_backend(pid) FROM pg_stat_activity"
                    " WHERE datname = current_database() AND pid <> pg_backend_pid()"
                )

    monkeypatch.setattr(Outbox, cut, counted)
    with server_process(folder, 1) as port:
        store = store_at(folder)
        event.listen(store, "commit", cut_all)
        server = ServerSettings("127.0.0.1", port, "none", patience=5.0)
        Sender(store, 1, server, KEY, rules(folder, "reconcile")).run()
        assert "done" in calls[:-1]
        assert status_of(store, 1).counts["sent"] == MAILS
        store.dispose()
    taken = [line.split()[0] for line in (folder / "journal").read_text().splitlines()]
    assert len(taken) == len(set(taken)) == MAILS


def test_a_database_that_stays_away_ends_the_sender_with_a_clear_word(cluster, folder):
    naps = []
    store = store_at(folder)
    server = ServerSettings("127.0.0.1", 9, "none", patience=5.0)
    sender = Sender(store, 1, server, KEY, rules(folder, "hold"), sleep=naps.append)
    cluster.stop()
    try:
        with pytest.raises(BadInput, match="cannot be reached: "):
            sender.run()
        with pytest.raises(BadInput, match="cannot be opened as a mail store: "):
            store_at(folder)
    finally:
        cluster.start()
    assert len(naps) == rules(folder, "hold").tries - 1
    store.dispose()
