"""A burst of bounces waits for a word, and whoever was taken off for one can come back.

The server is real SMTP (aiosmtpd) where one is asked; readers and reports are invented.
"""

from __future__ import annotations

import datetime as dt

import pytest
from bad_server import Decided, bad_server, takes
from bounce_samples import failure, maildir, report
from kills import invented_edition, rules
from mail_samples import IDENTITY, KEY
from sqlalchemy import delete, insert, select, text, update

from advisor.base.dates import today
from advisor.base.record import asdict
from advisor.mailing.mails.tokens import bounce_address
from advisor.mailing.outbox.run import go_on
from advisor.mailing.outbox.sender import Sender
from advisor.mailing.outbox.server_settings import ServerSettings
from advisor.mailing.returns.bounces import read_bounces
from advisor.mailing.returns.bounces_text import bounces_text
from advisor.mailing.returns.held_bounces import BURSTS, accept_bursts, discard_bursts
from advisor.mailing.store.outbox_tables import mail
from advisor.mailing.store.reader_tables import (
    all_readers,
    erase_reader,
    export_reader,
    suppress,
    suppressed,
)
from advisor.mailing.store.readmission import readmit
from advisor.mailing.store.report_tables import report as counted
from advisor.mailing.store.store import open_store, reading, writing
from advisor.mailing.store.tables import reader
from advisor.mailing.use_cases.import_readers import import_readers

from .conftest import HEADER

pytestmark = pytest.mark.slow

MANY = 60
ON = dt.date(2026, 11, 25)
ROW = "a@example.org,Ann,50010,US,tall fescue,,,{on},{source},,"


@pytest.fixture
def store(tmp_path):
    """An edition that has gone out to sixty readers who had agreed a year before."""
    invented_edition(tmp_path, MANY)
    opened = open_store(tmp_path / "mail.db")
    with writing(opened) as db:
        db.execute(update(mail).values(state="sent"))
        db.execute(update(reader).values(permission_on=today() - dt.timedelta(days=400)))
    yield opened
    opened.dispose()


def bounce(n, status="5.1.1", own=""):
    told = failure(status, who="someone@example.com")
    code = bounce_address(KEY, IDENTITY.list_id, str(n), IDENTITY.bounces)
    return report(told, code, own_id=f"<{n}-{status}{own}@mx.example.net>")


def read(store, folder, *mails):
    return read_bounces(
        store, IDENTITY.list_id, KEY, [maildir(folder / "Maildir", *mails)], today()
    )


def written_to(store):
    return len(all_readers(store))


def test_a_server_that_refuses_everybody_empties_no_list(tmp_path):
    invented_edition(tmp_path, MANY)
    store = open_store(tmp_path / "mail.db")
    handler = Decided(lambda address, n: "550 5.1.1 no such mailbox", takes)
    with bad_server(handler) as port:
        server = ServerSettings("127.0.0.1", port, "none", patience=5.0)
        for _ in range(5):
            made = rules(tmp_path, "hold", bad_least=20)
            Sender(store, 1, server, KEY, made, sleep=lambda s: None).run(wait=False)
            # An hourly reading; the editor says to go on each time.
            found = read_bounces(store, IDENTITY.list_id, KEY, [], today())
            go_on(store, 1)
    assert written_to(store) == MANY
    assert found.held[0].bad == MANY
    said = bounces_text(found, tmp_path)
    assert f"came back from {MANY} of {MANY} readers" in said
    assert "--burst accept" in said
    assert "--burst discard" in said
    store.dispose()


def test_a_burst_that_trickles_in_is_seen_and_can_be_undone(store, tmp_path):
    """The first ones are taken off before anybody can see that it is a burst."""
    for n in range(1, 41):
        found = read(store, tmp_path, bounce(n))
    gone = MANY - written_to(store)
    assert 0 < gone <= max(BURSTS[0][0], BURSTS[0][1] * MANY)
    assert found.held[0].bad == 40
    assert discard_bursts(store, today()) == (40 - gone, gone)
    assert written_to(store) == MANY
    # It is over: read again, nothing is held or counted, and a true one counts as ever.
    again = read(store, tmp_path, bounce(50))
    assert (again.before, again.held, written_to(store)) == (40, [], MANY - 1)


def test_an_accepted_burst_is_acted_on_but_for_who_agreed_anew(store, tmp_path):
    found = read(store, tmp_path, *(bounce(n) for n in range(1, 31)))
    assert (found.held[0].readers, written_to(store)) == (30, MANY)
    with writing(store) as db:
        later = today() + dt.timedelta(days=1)
        db.execute(update(reader).where(reader.c.id == 1).values(permission_on=later))
    assert accept_bursts(store)["hard"] == 29
    assert written_to(store) == MANY - 29
    assert accept_bursts(store).total() == 0


def test_a_few_bounces_need_no_word(store, tmp_path):
    found = read(store, tmp_path, *(bounce(n) for n in range(1, 10)))
    assert (found.held, found.suppressed["hard"], written_to(store)) == ([], 9, MANY - 9)


def test_the_same_reader_again_and_again_is_no_burst(store, tmp_path):
    found = read(store, tmp_path, *(bounce(1, own=f"-{n}") for n in range(40)))
    assert (found.held, written_to(store)) == ([], MANY - 1)


def test_a_reading_that_was_killed_loses_no_bounce(store, tmp_path, monkeypatch):
    """Killed between counting and taking off: the next reading goes on."""
    monkeypatch.setattr("advisor.mailing.returns.bounces.act_on_bounces", lambda store: {}[1])
    with pytest.raises(KeyError):
        read(store, tmp_path, bounce(1), bounce(2))
    assert written_to(store) == MANY
    monkeypatch.undo()
    found = read_bounces(store, IDENTITY.list_id, KEY, [], today())
    assert (found.counts.total(), found.suppressed["hard"], written_to(store)) == (0, 2, MANY - 2)


def test_what_an_older_store_counted_is_not_acted_on_again(tmp_path):
    invented_edition(tmp_path, MANY)
    store = open_store(tmp_path / "mail.db")
    with writing(store) as db:
        row = {"status": "5.1.1", "counted_on": ON, "edition_id": 1, "acted_on": False}
        rows = [{"key": str(n), "reader_id": n, "kind": "hard", **row} for n in range(1, 5)]
        db.execute(insert(counted), [*rows, {**row, "key": "o", "reader_id": 5, "kind": "ours"}])
        db.execute(delete(counted).where(counted.c.key == "4"))
        # As a program before this one left it.
        db.execute(text("DELETE FROM schema_version WHERE version > 6"))
        db.execute(text("DROP TABLE readmitted"))
    store.dispose()
    store = open_store(tmp_path / "mail.db")
    with reading(store) as db:
        left = dict(db.execute(select(counted.c.key, counted.c.acted_on)).all())
    assert left == {"1": True, "2": True, "3": True, "o": False}
    assert read_bounces(store, IDENTITY.list_id, KEY, [], today()).suppressed.total() == 0
    store.dispose()


def take(folder, store, book, *rows):
    (folder / "r.csv").write_text("\n".join((HEADER, *rows)) + "\n")
    return import_readers(folder / "r.csv", store, book, ON)


@pytest.mark.parametrize("reason", ["bounce", "complained", "left by mail", "asked to be erased"])
def test_only_consent_given_after_that_day_brings_anybody_back(tmp_path, book, reason):
    store = open_store(tmp_path / "mail.db")
    left_on = ON - dt.timedelta(days=10)
    take(tmp_path, store, book, ROW.format(on="2026-01-01", source="form"))
    suppress(store, "a@example.org", reason, left_on)
    for on in ("2026-01-01", left_on.isoformat()):
        done = take(tmp_path, store, book, ROW.format(on=on, source="form"))
        assert (done.refused_rows, done.readmitted, written_to(store)) == (1, 0, 0)
        assert "only consent given after that day" in done.refused[0].why
    # The old consent beside the new one does not share in it, in either order.
    new = ROW.format(on=(left_on + dt.timedelta(days=1)).isoformat(), source="signed up again")
    done = take(tmp_path, store, book, ROW.format(on="2026-01-01", source="form"), new)
    assert [one.line for one in done.refused] == [2]
    assert (done.readmitted, written_to(store)) == (1, 1)
    told = export_reader(store, "a@example.org")
    assert told["suppressed"] is None
    assert told["reader"]["permission_source"] == "signed up again"
    assert [(one["reason"], one["why"]) for one in told["readmitted"]] == [
        (reason, "consent given anew")
    ]
    erase_reader(store, "a@example.org", ON)
    assert export_reader(store, "a@example.org")["readmitted"] == []
    store.dispose()


def test_an_editors_word_undoes_bounces_alone(store):
    suppress(store, "plain-1@example.com", "bounce", ON)
    suppress(store, "plain-2@example.com", "complained", ON)
    suppress(store, "plain-3@example.com", "left by one click in a mail program", ON)
    for n in (1, 2, 3):
        readmit(store, f"PLAIN-{n}@example.com", "their postmaster wrote", ON)
    assert readmit(store, "plain-4@example.com", "x", ON) is None
    addresses = [f"plain-{n}@example.com" for n in (1, 2, 3, 4)]
    assert set(suppressed(store, addresses)) == set(addresses[1:3])


def test_the_commands_say_what_they_did_and_did_not(store, tmp_path, run, monkeypatch):
    monkeypatch.setenv("ADVISOR_MAIL_KEY", KEY.decode())
    yaml = "".join(f"{key}: {value}\n" for key, value in asdict(IDENTITY).items() if value)
    (tmp_path / "list.yaml").write_text(f"format: 1\n{yaml}")
    box = maildir(tmp_path / "Maildir", *(bounce(n) for n in range(1, 31)))
    status, said, _ = run("bounces", tmp_path, box)
    assert (status, "30 readers stay on the list until you say" in said) == (0, True)
    assert "30 bounces are held" in run("status", tmp_path)[1]
    assert "Accepted: 30 readers will not" in run("bounces", tmp_path, "--burst", "accept")[1]
    assert "are held" not in run("status", tmp_path)[1]
    with reading(store) as db:
        bounced = db.scalar(select(reader.c.address).where(reader.c.id == 1))
        other = db.scalar(select(reader.c.address).where(reader.c.id == 31))
    of = ("--list", tmp_path, "--reason", "they wrote from there")
    assert run("readmit", bounced, *of)[0] == 0
    assert run("readmit", bounced, *of) == (
        2, "", "mail readmit: this address was not taken off the list\n"
    )  # fmt: skip
    assert run("suppress", other, "--list", tmp_path)[0] == 0
    status, _, said = run("readmit", other, *of)
    assert (status, "(asked to leave); only the reader's own consent" in said) == (2, True)
    status, _, said = run("suppress", "slip@example.com", "--list", tmp_path)
    assert (status, "so nothing was changed" in said) == (2, True)
    assert not suppressed(store, ["slip@example.com"])
    assert run("suppress", "slip@example.com", "--list", tmp_path, "--in-advance")[0] == 0
    assert run("suppress", "slip@example.com", "--list", tmp_path) == (
        0, "Was not written to already.\n", ""
    )  # fmt: skip
