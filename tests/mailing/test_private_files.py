"""What holds addresses or tokens is its owner's alone, and a look takes no lock."""

from __future__ import annotations

import os
import sqlite3

import pytest
from kills import invented_edition, store_at
from mail_samples import KEY

from advisor.base.files import write_whole
from advisor.base.problems import BadInput
from advisor.cli.mail_readers import _report
from advisor.mailing.mails.tokens import (
    Forged,
    bounce_address,
    calendar_token,
    key_from_environment,
    leaving_token,
    read_calendar_token,
    read_leaving_token,
    reader_of_bounce,
)
from advisor.mailing.store.store import open_store, writing
from advisor.mailing.store.tables import suppression
from advisor.mailing.use_cases.sending import edition_status


@pytest.fixture
def open_to_all():
    """The umask of somebody who does not think of others."""
    old = os.umask(0)
    yield
    os.umask(old)


def modes(folder):
    return {path.name: path.stat().st_mode & 0o777 for path in folder.iterdir()}


def put_something(store):
    with writing(store) as db:
        db.execute(suppression.delete())


def test_a_store_is_its_owners_alone_with_all_that_lies_beside_it(tmp_path, open_to_all):
    store = open_store(tmp_path / "mail.db")
    put_something(store)
    assert modes(tmp_path) == dict.fromkeys(("mail.db", "mail.db-wal", "mail.db-shm"), 0o600)
    store.dispose()


def test_an_older_store_is_closed_to_others_when_it_is_opened(tmp_path, open_to_all):
    store = open_store(tmp_path / "mail.db")
    put_something(store)
    for path in tmp_path.iterdir():
        path.chmod(0o664)
    other = open_store(tmp_path / "mail.db")
    assert set(modes(tmp_path).values()) == {0o600}
    other.dispose()
    store.dispose()


def test_where_that_is_not_allowed_one_line_says_so(tmp_path, open_to_all, monkeypatch, capsys):
    open_store(tmp_path / "mail.db").dispose()
    (tmp_path / "mail.db").chmod(0o644)

    def refused(*given, **named):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("pathlib.Path.chmod", refused)
    open_store(tmp_path / "mail.db").dispose()
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "mail.db: can be read by others, and that cannot be changed" in said


def test_what_tells_of_readers_is_written_for_its_owner(tmp_path, open_to_all):
    write_whole(tmp_path / "new", "x", private=True)
    for name in ("old", "report"):
        (tmp_path / name).write_text("before")
    write_whole(tmp_path / "old", "x", private=True)
    for name in ("report", "another"):
        with _report(tmp_path / name, ()) as put:
            put("1,address,x,y\n")
    assert set(modes(tmp_path).values()) == {0o600}


def test_a_status_waits_for_no_writer(tmp_path):
    invented_edition(tmp_path, 3)
    store_at(tmp_path).dispose()
    with sqlite3.connect(tmp_path / "mail.db", isolation_level=None) as writer:
        writer.execute("BEGIN IMMEDIATE")
        assert edition_status(tmp_path).copies == 3
        writer.execute("ROLLBACK")


OLD, NEW = KEY.decode(), "another invented key, for tests alone: 9876543210"


@pytest.fixture
def keys(monkeypatch):
    def named(text):
        monkeypatch.setenv("ADVISOR_MAIL_KEY", text)
        return key_from_environment()

    return named


def test_what_an_earlier_key_has_signed_still_counts_and_the_first_line_signs(keys):
    old, both = keys(OLD), keys(f"{NEW}\n\n{OLD}\n")
    assert read_leaving_token(both, leaving_token(old, "l", "7")) == ("l", "7")
    assert read_calendar_token(both, calendar_token(old, "l", "7", 2)) == ("l", "7", 2)
    assert reader_of_bounce(both, "l", bounce_address(old, "l", "7", "b@example.org")) == "7"
    for made in (keys(NEW), both):
        assert leaving_token(made, "l", "7") == leaving_token(NEW.encode(), "l", "7")
        assert bounce_address(made, "l", "7", "b@x.org") == bounce_address(
            NEW.encode(), "l", "7", "b@x.org"
        )
    for gone in (leaving_token(old, "l", "7"), leaving_token(b"x" * 40, "l", "7")):
        with pytest.raises(Forged):
            read_leaving_token(keys(NEW), gone)
    with pytest.raises(Forged):
        read_leaving_token(both, leaving_token(b"x" * 40, "l", "7"))


def test_an_earlier_key_that_is_too_short_is_refused(keys):
    with pytest.raises(BadInput, match="holds a line that is too short; wanted 32 bytes"):
        keys(f"{NEW}\nshort\n")
