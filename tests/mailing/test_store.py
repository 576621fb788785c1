"""The store: its settings, its migrations, and what its tables refuse."""

from __future__ import annotations

import datetime as dt
import hashlib
import sqlite3

import pytest
from kills import store_at
from sqlalchemy import func, insert, select, text
from sqlalchemy.exc import IntegrityError

from advisor.base.problems import BadInput
from advisor.mailing.letters.letter import Letter
from advisor.mailing.outbox.outbox import Outbox, Unknown
from advisor.mailing.store.letter_tables import put_letters
from advisor.mailing.store.reader_tables import all_readers, erase_reader, suppress
from advisor.mailing.store.store import STEPS, _said, open_store, reading, writing
from advisor.mailing.store.tables import copy, edition, letter, reader

READER = {
    "address": "A@example.org", "address_key": "a@example.org", "latitude": 41.0,
    "longitude": -93.0, "place": "50010", "grass": "tall_fescue", "units": "us",
    "permission_on": dt.date(2026, 1, 1), "permission_source": "form",
    "created_on": dt.date(2026, 1, 2),
}  # fmt: skip


def test_sqlite_settings(tmp_path):
    store = open_store(tmp_path / "mail.db")
    with reading(store) as connection:
        said = {
            name: connection.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "foreign_keys", "busy_timeout")
        }
    assert said == {"journal_mode": "wal", "foreign_keys": 1, "busy_timeout": 30_000}


def test_opening_twice_runs_each_migration_once(tmp_path):
    for _ in range(2):
        open_store(tmp_path / "mail.db").dispose()
    with sqlite3.connect(tmp_path / "mail.db") as plain:
        versions = plain.execute("SELECT version FROM schema_version").fetchall()
    assert versions == [(number,) for number in range(1, len(STEPS) + 1)]


def test_letters_from_before_said_nothing_that_is_known(on_both):
    """A store of the format before letters kept what they said."""
    store = store_at(on_both)
    said = STEPS.index(_said) + 1
    with writing(store) as connection:
        connection.execute(text("ALTER TABLE letter DROP COLUMN said"))
        connection.execute(text(f"DELETE FROM schema_version WHERE version >= {said}"))
        old = "INSERT INTO letter (hash, content_key, subject, text, html) VALUES"
        connection.execute(text(f"{old} ('h', 'k', 'S', 'T', '')"))
    store.dispose()
    store = store_at(on_both)
    with reading(store) as connection:
        assert connection.execute(select(letter.c.text, letter.c.said)).all() == [("T", b"")]
    store.dispose()


def test_a_newer_store_and_another_file_are_refused(tmp_path):
    open_store(tmp_path / "mail.db").dispose()
    with sqlite3.connect(tmp_path / "mail.db") as plain:
        plain.execute("INSERT INTO schema_version VALUES (99)")
    with pytest.raises(BadInput, match=r"mail\.db: is of format 99, .*upgrade it"):
        open_store(tmp_path / "mail.db")
    (tmp_path / "other.db").write_bytes(b"not a database, but long enough to be read as one" * 50)
    with pytest.raises(BadInput, match="cannot be opened as a mail store: file is not a database"):
        open_store(tmp_path / "other.db")


def test_one_row_for_an_address_and_one_copy_for_a_reader(tmp_path):
    store = open_store(tmp_path / "mail.db")
    with writing(store) as connection:
        connection.execute(insert(reader).values(**READER))
        connection.execute(
            insert(edition).values(
                list_name="l", first_day=dt.date(2026, 9, 7), rulebook_hash="h", state="draft"
            )
        )
    row = {"edition_id": 1, "reader_id": 1, "letter_id": 1}
    with writing(store) as connection:
        put_letters(connection, [("", Letter("", "", ""))])
        connection.execute(insert(copy).values(**row))
    for table, again in ((reader, READER), (copy, row), (copy, row | {"reader_id": 7})):
        with pytest.raises(IntegrityError), writing(store) as connection:
            connection.execute(insert(table).values(**again))
    with pytest.raises(IntegrityError), writing(store) as connection:
        connection.execute(text("UPDATE edition SET state = 'sent'"))


def test_a_failed_transaction_leaves_nothing(tmp_path):
    store = open_store(tmp_path / "mail.db")
    with pytest.raises(IntegrityError), writing(store) as connection:
        connection.execute(insert(reader), [READER | {"id": n, "address_key": "x"} for n in (1, 2)])
    with reading(store) as connection:
        assert connection.execute(text("SELECT count(*) FROM reader")).scalar() == 0


OLD = """
CREATE TABLE schema_version (version INTEGER PRIMARY KEY);
INSERT INTO schema_version VALUES (1), (2);
CREATE TABLE reader (id INTEGER PRIMARY KEY, address VARCHAR(320) NOT NULL,
  address_key VARCHAR(320) NOT NULL UNIQUE, name TEXT NOT NULL, latitude FLOAT NOT NULL,
  longitude FLOAT NOT NULL, place TEXT NOT NULL, country VARCHAR(2) NOT NULL,
  subdivision VARCHAR(6) NOT NULL, time_zone TEXT NOT NULL, grass VARCHAR(64) NOT NULL,
  area_m2 FLOAT, units VARCHAR(8) NOT NULL, permission_on DATE NOT NULL,
  permission_source TEXT NOT NULL, extra JSON NOT NULL, created_on DATE NOT NULL);
CREATE TABLE suppression (address_hash VARCHAR(64) PRIMARY KEY, reason TEXT NOT NULL,
  suppressed_on DATE NOT NULL);
CREATE TABLE edition (id INTEGER PRIMARY KEY, list_name TEXT NOT NULL, first_day DATE NOT NULL,
  rulebook_hash VARCHAR(64) NOT NULL, state VARCHAR(16) NOT NULL, note TEXT NOT NULL,
  question TEXT NOT NULL, correction TEXT NOT NULL, reply_to TEXT NOT NULL, built_at DATETIME,
  approved_at DATETIME, UNIQUE (list_name, first_day));
CREATE TABLE copy (id INTEGER PRIMARY KEY, edition_id INTEGER NOT NULL REFERENCES edition (id),
  reader_id INTEGER NOT NULL REFERENCES reader (id) ON DELETE CASCADE, subject TEXT NOT NULL,
  text TEXT NOT NULL, html TEXT NOT NULL, message BLOB, content_key VARCHAR(64) NOT NULL,
  UNIQUE (edition_id, reader_id));
CREATE TABLE mail_run (edition_id INTEGER PRIMARY KEY REFERENCES edition (id),
  identity JSON NOT NULL, dated FLOAT NOT NULL, expires FLOAT NOT NULL, phase VARCHAR(10) NOT NULL,
  resume_as VARCHAR(10) NOT NULL, why_paused TEXT NOT NULL);
CREATE TABLE mail_out (copy_id INTEGER PRIMARY KEY REFERENCES copy (id) ON DELETE CASCADE,
  edition_id INTEGER NOT NULL REFERENCES mail_run (edition_id), message_id VARCHAR(255) NOT NULL
  UNIQUE, canary BOOLEAN NOT NULL, state VARCHAR(10) NOT NULL, owner VARCHAR(100) NOT NULL,
  until FLOAT NOT NULL, next_at FLOAT NOT NULL, began FLOAT NOT NULL, attempts INTEGER NOT NULL,
  code INTEGER NOT NULL, said TEXT NOT NULL);
INSERT INTO edition VALUES (1, 'l', '2026-09-07', 'h', 'approved', '', '', '', '', NULL, NULL);
INSERT INTO mail_run VALUES (1, '{}', 0, 0, 'open', 'open', '');
"""


def test_copies_of_an_older_store_keep_their_words_and_their_bytes(tmp_path):
    """Readers 1 and 2 got one letter; 3 the same case on another day, in other words."""
    with sqlite3.connect(tmp_path / "mail.db") as plain:
        plain.executescript(OLD)
        person = (42.0, -93.0, "p", "US", "IA", "", "g", None, "us", "2026-01-01", "f", "{}")
        for n, words in ((1, "one"), (2, "one"), (3, "two")):
            key = f"r{n}@example.org"
            plain.execute(
                f"INSERT INTO reader VALUES ({','.join('?' * 17)})",
                (n, key, key, "", *person, "2026-01-02"),
            )
            plain.execute(
                "INSERT INTO copy VALUES (?, 1, ?, ?, 't', 'h', ?, 'k')",
                (10 + n, n, words, b"frozen %d" % n),
            )
        plain.execute(
            "INSERT INTO mail_out VALUES (11, 1, '<m>', 0, 'unknown', '', 0, 4, 2, 1, 0, '')"
        )
    store = open_store(tmp_path / "mail.db")
    with reading(store) as connection:
        rows = select(copy.c.id, copy.c.reader_id, letter.c.subject, copy.c.message)
        found = connection.execute(rows.join_from(copy, letter).order_by(copy.c.id)).all()
        letters = connection.scalar(select(func.count()).select_from(letter))
        known = connection.execute(select(reader.c.address_key, reader.c.address_hash)).all()
    assert found == [
        (11, 1, "one", b"frozen 1"), (12, 2, "one", b"frozen 2"), (13, 3, "two", b"frozen 3"),
    ]  # fmt: skip
    assert letters == 2
    assert known == [(key, hashlib.sha256(key.encode()).hexdigest()) for key, _ in known]
    # Nobody knows which mail server that one went to, so no log is asked.
    assert Outbox(store, 1, "", 0.0, "mx.example.org:25").unknown() == [
        Unknown(11, "<m>", 2.0, 4.0, "", 1)
    ]
    assert [one.id for one in all_readers(store)] == [1, 2, 3]
    suppress(store, "R2@example.org", "left", dt.date(2026, 9, 8))
    assert [one.id for one in all_readers(store)] == [1, 3]
    store.dispose()


def test_an_erased_readers_own_letter_goes_and_a_shared_one_stays(tmp_path):
    store = open_store(tmp_path / "mail.db")
    with writing(store) as connection:
        connection.execute(insert(edition).values(
            list_name="l", first_day=dt.date(2026, 9, 7), rulebook_hash="h", state="draft"
        ))  # fmt: skip
        put_letters(connection, [("a", Letter("own", "", "")), ("b", Letter("shared", "", ""))])
        for n, one in ((1, 1), (2, 2), (3, 2)):
            key = f"r{n}@example.org"
            connection.execute(insert(reader).values(READER | {"address_key": key}))
            connection.execute(insert(copy).values(edition_id=1, reader_id=n, letter_id=one))
    for n in (1, 2):
        assert erase_reader(store, f"r{n}@example.org", dt.date(2026, 9, 8))
        with reading(store) as connection:
            assert connection.scalars(select(letter.c.subject)).all() == ["shared"]
    store.dispose()
