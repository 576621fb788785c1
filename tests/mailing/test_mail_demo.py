"""The demo of the mailing does what it says, counted anew from what it leaves behind.

References: strict parsing by the standard library, flufl.bounce for the bounces, and the names that
RFC 2606 reserves. All of the list is invented.
"""

from __future__ import annotations

import datetime as dt
import mailbox
import re
import sys
from collections import Counter
from email import message_from_bytes
from email.policy import strict

import pytest
from flufl.bounce import all_failures
from sqlalchemy import select
from typer.testing import CliRunner

from advisor.base.dates import clock_set_to, now_utc, today
from advisor.base.problems import BadInput
from advisor.cli.main import app
from advisor.demo.mailing.list_folder import MOMENT, reader_rows
from advisor.demo.mailing.places import PLACES
from advisor.mailing.store.outbox_tables import mail
from advisor.mailing.store.reader_tables import all_readers
from advisor.mailing.store.store import open_store, reading
from advisor.mailing.store.tables import copy, letter

pytestmark = pytest.mark.slow

READERS = 60


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    folder = tmp_path_factory.mktemp("demo") / "list"
    given = ["mail", "demo", str(folder), "--readers", str(READERS), "--workers", "2"]
    # On another day than its own: whatever the day, the demo plays on the same.
    with clock_set_to(dt.datetime(2031, 2, 3, 4, 5, tzinfo=dt.UTC)):
        done = CliRunner().invoke(app, given)
        assert today().year == 2031
    assert done.exit_code == 0, done.output
    return folder, done.output


def numbers(shown):
    block = shown.partition("IN NUMBERS")[2].partition("----")[0]
    return {
        what: float(n.replace(",", "")) for n, what in re.findall(r"(?m)^ +([\d,.]+)  (.*)$", block)
    }


@pytest.mark.slow
def test_its_numbers_are_those_of_the_outbox(demo):
    folder, shown = demo
    told = numbers(shown)
    store = open_store(folder / "mail.db")
    with reading(store) as db:
        rows = db.execute(select(mail.c.state, mail.c.message_id)).all()
        distinct = len(set(db.scalars(select(letter.c.text).join_from(copy, letter))))
    left = len(all_readers(store))
    store.dispose()
    states = Counter(state for state, _ in rows)
    assert states == {"sent": 51, "failed": 4, "suppressed": 5}
    assert len({id for _, id in rows}) == READERS
    assert told["sent; the server counted 51"] == states["sent"]
    assert told["doubles, by the Message-IDs that the server counted"] == 0
    assert told["readers are written to next week"] == left == READERS - 5 - 13
    assert told["readers; 5 rows refused"] == READERS
    shared = next(n for what, n in told.items() if "different digests" in what)
    # Two digests of two sizes may read the same, never the other way round.
    assert distinct <= shared < READERS


def test_its_bounces_read_the_same_to_another_reader(demo):
    box = mailbox.Maildir(demo[0] / "returned", create=False)
    found = [all_failures(message) for message in box]
    assert sum(len(temporary) + len(permanent) for temporary, permanent in found) == 13
    assert re.search(r"10 +hard", demo[1])


def test_what_there_is_to_look_at(demo):
    look = demo[0] / "look"
    for place in PLACES:
        page = (look / f"{place.label}.html").read_text()
        raw = (look / f"{place.label}.eml").read_bytes()
        letter = message_from_bytes(raw, policy=strict)
        assert not [defect for part in letter.walk() for defect in part.defects]
        assert f"{place.name} (invented)" in page
        assert "INVENTED" in page
        assert letter["To"].rpartition("@")[2] in ("example.org", "example.net", "example.com")
        assert letter["Date"].startswith("Mon, 07 Sep 2026")


def test_the_readers_are_of_both_halves_of_the_earth_and_both_systems():
    rows = list(reader_rows(2_000))
    assert len({row[0] for row in rows}) == 2_000
    assert Counter(row[6] for row in rows).keys() == {"us", "metric"}
    south = sum(row[2].startswith("-") for row in rows)
    measured = sum(bool(row[9]) for row in rows)
    assert 200 < south < 500
    assert 150 < measured < 250
    assert rows == list(reader_rows(2_000))


def test_a_list_that_is_there_is_not_overwritten(demo):
    with pytest.raises(BadInput, match="holds a list already"):
        CliRunner().invoke(app, ["mail", "demo", str(demo[0])], catch_exceptions=False)


def test_without_its_library_nothing_is_begun(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "aiosmtpd.smtp", None)
    with pytest.raises(BadInput, match="install it"):
        CliRunner().invoke(app, ["mail", "demo", str(tmp_path / "x")], catch_exceptions=False)
    assert not (tmp_path / "x").exists()


def test_a_clock_that_is_set_runs_on_and_is_set_back():
    before = now_utc()
    with clock_set_to(MOMENT):
        first = now_utc()
        assert MOMENT <= first < MOMENT + dt.timedelta(minutes=1)
        assert first <= now_utc()
    assert abs(now_utc() - before) < dt.timedelta(minutes=1)
