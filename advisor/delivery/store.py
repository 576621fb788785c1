"""Opening a mailing list's store: a SQLite file by default, another database by its URL.

A store is an SQLAlchemy `Engine`. It carries the number of the migrations it has seen, and opening
it runs those that are missing, forward only.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import (
    Column,
    Connection,
    Engine,
    Integer,
    Table,
    create_engine,
    event,
    insert,
    select,
)
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DatabaseError

from advisor.base.problems import BadInput, Place
from advisor.delivery import outbox_tables, report_tables, tables
from advisor.delivery.tables import METADATA

STORE_FILE = "mail.db"
BUSY_MS = 30_000

Store = Engine
"""What the rest of the mailing passes around; only this module and the tables look inside."""

schema_version = Table("schema_version", METADATA, Column("version", Integer, primary_key=True))


def _first_tables(connection: Connection) -> None:
    made = [tables.reader, tables.suppression, tables.edition, tables.copy]
    METADATA.create_all(connection, tables=made)


def _outbox(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[outbox_tables.run, outbox_tables.mail])


def _reports(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[report_tables.report])


STEPS: tuple[Callable[[Connection], None], ...] = (_first_tables, _outbox, _reports)
"""Migrations in order. Never change one that has been released; add another at the end."""


def open_store(where: str | Path) -> Engine:
    """The store at a path (SQLite) or a database URL, with its tables brought up to date.

    Raises `BadInput` if it is no store, or one of a newer program.
    """
    text = str(where)
    url = text if "://" in text else f"sqlite:///{text}"
    engine = create_engine(url)
    if make_url(url).get_backend_name() == "sqlite":
        event.listen(engine, "connect", _prepare)
        event.listen(engine, "begin", _begin)
    try:
        _migrate(engine, text)
    except DatabaseError as error:
        engine.dispose()
        raise BadInput.at(Place(text), f"cannot be opened as a mail store: {error.orig}") from None
    return engine


@contextmanager
def writing(store: Engine) -> Iterator[Connection]:
    """A transaction that writes. On SQLite it takes the write lock at once, waiting its turn."""
    with store.execution_options(immediate=True).begin() as connection:
        yield connection


@contextmanager
def reading(store: Engine) -> Iterator[Connection]:
    """A transaction that only reads; it sees one state and blocks nobody."""
    with store.begin() as connection:
        yield connection


def _prepare(connection: Any, _record: Any) -> None:
    # We say BEGIN ourselves (below): the driver would say it late, after a first read.
    connection.isolation_level = None
    for pragma in (
        "journal_mode=WAL", "foreign_keys=ON", f"busy_timeout={BUSY_MS}",
        "synchronous=NORMAL", "secure_delete=ON",
    ):  # fmt: skip
        connection.execute(f"PRAGMA {pragma}").close()


def _begin(connection: Connection) -> None:
    immediate = connection.get_execution_options().get("immediate", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if immediate else "BEGIN")


def _migrate(engine: Engine, shown_as: str) -> None:
    with writing(engine) as connection:
        METADATA.create_all(connection, tables=[schema_version])
        found = connection.execute(select(schema_version.c.version)).scalars().all()
        version = max(found, default=0)
        if version > len(STEPS):
            what = f"is of format {version}, this program knows up to {len(STEPS)}; upgrade it"
            raise BadInput.at(Place(shown_as), what)
        for number, step in enumerate(STEPS[version:], version + 1):
            step(connection)
            connection.execute(insert(schema_version).values(version=number))
