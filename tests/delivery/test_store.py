"""The store: its settings, its migrations, and what its tables refuse."""

from __future__ import annotations

import datetime as dt
import sqlite3

import pytest
from sqlalchemy import insert, text
from sqlalchemy.exc import IntegrityError

from advisor.base.problems import BadInput
from advisor.delivery.store import STEPS, open_store, reading, writing
from advisor.delivery.tables import copy, edition, reader

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
    row = {"edition_id": 1, "reader_id": 1, "subject": "", "text": "", "html": "",
           "content_key": ""}  # fmt: skip
    with writing(store) as connection:
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
