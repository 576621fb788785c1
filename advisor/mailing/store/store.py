"""Opening a mailing list's store: a SQLite file by default, PostgreSQL by its URL.

A store is an SQLAlchemy `Engine`. It carries the number of the migrations it has seen, and opening
it runs those that are missing, forward only.
"""

from __future__ import annotations

import random
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import ParamSpec, TypeVar

from sqlalchemy import (
    URL,
    Column,
    Connection,
    Engine,
    Integer,
    Table,
    func,
    insert,
    inspect,
    select,
    text,
)
from sqlalchemy.exc import DatabaseError, DBAPIError, InterfaceError, OperationalError
from sqlalchemy.exc import TimeoutError as PoolTimeout

from advisor.base.problems import BadInput, Place, Problem
from advisor.mailing.store import outbox_tables, report_tables, tables, web_tables
from advisor.mailing.store.engines import engine_for, shown, url_of
from advisor.mailing.store.one_letter import letters_once
from advisor.mailing.store.own_file import close_to_others
from advisor.mailing.store.tables import METADATA

STORE_FILE = "mail.db"

Store = Engine
"""What the rest of the mailing passes around; only this module and the tables look inside."""

#: The lock of PostgreSQL by which writers wait for each other; any number that is always the same.
_LOCK = 7_254_871
#: SQLSTATE of a transaction that was given up for another's sake: serialisation failure, deadlock.
_GIVEN_UP = ("40001", "40P01")
_TRIES = 10

_Given = ParamSpec("_Given")
_Result = TypeVar("_Result")

schema_version = Table("schema_version", METADATA, Column("version", Integer, primary_key=True))


class StoreLost(BadInput):
    """The database cannot be reached. Whether the last change stands is not known."""


UNAVAILABLE: tuple[type[Exception], ...] = (OperationalError, PoolTimeout, StoreLost)
"""What a store raises when it is locked for longer than one can wait, or cannot be reached."""


class _GivenUp(StoreLost):
    """The database undid the whole transaction in favour of another one."""


def _first_tables(connection: Connection) -> None:
    made = [tables.reader, tables.suppression, tables.edition, tables.letter, tables.copy]
    METADATA.create_all(connection, tables=made)


def _outbox(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[outbox_tables.run, outbox_tables.mail])


def _reports(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[report_tables.report])


def _web(connection: Connection) -> None:
    made = [web_tables.season, web_tables.page, web_tables.calendar_link]
    METADATA.create_all(connection, tables=made)
    _add_column(connection, "letter", "line", "VARCHAR(64) DEFAULT ''")


def _server_of_a_try(connection: Connection) -> None:
    _add_column(connection, "mail_out", "server", "VARCHAR(300) DEFAULT ''")


def _bad_ends(connection: Connection) -> None:
    for name in ("bad_ends", "sent_before"):
        _add_column(connection, "mail_run", name, "INTEGER DEFAULT 0")


def _held_bounces(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[tables.readmitted])
    # What counted before has had its consequences.
    connection.execute(text("UPDATE mail_report SET acted_on = TRUE WHERE kind <> 'ours'"))


def _looked_at(connection: Connection) -> None:
    _add_column(connection, "edition", "seen", "BOOLEAN DEFAULT FALSE")


def _said(connection: Connection) -> None:
    postgresql = connection.dialect.name == "postgresql"
    _add_column(
        connection, "letter", "said", "BYTEA DEFAULT ''" if postgresql else "BLOB DEFAULT x''"
    )


def _add_column(connection: Connection, table: str, name: str, kind: str) -> None:
    """A column of a kind with its default, unless the table was made with it just before."""
    if name not in {column["name"] for column in inspect(connection).get_columns(table)}:
        connection.execute(text(f"ALTER TABLE {table} ADD COLUMN {name} {kind} NOT NULL"))


STEPS: tuple[Callable[[Connection], None], ...] = (
    _first_tables,
    _outbox,
    _reports,
    letters_once,
    _web,
    _server_of_a_try,
    _bad_ends,
    _held_bounces,
    _looked_at,
    _said,
)
"""Migrations in order. Never change one that has been released; add another at the end."""


def open_store(where: str | Path) -> Engine:
    """The store at a path (SQLite) or a database URL, with its tables brought up to date.

    Raises `BadInput` if it is no store, cannot be reached, or is one of a newer program.
    """
    url = url_of(str(where))
    engine = engine_for(url)
    try:
        if url.get_backend_name() == "sqlite" and url.database:
            close_to_others(Path(url.database))
        _migrate(engine, url)
    except (DatabaseError, StoreLost) as error:
        engine.dispose()
        cause = error.__cause__ if isinstance(error, StoreLost) else error
        said = " ".join(str(getattr(cause, "orig", cause)).split())
        what = f"cannot be opened as a mail store: {said}"
        raise BadInput.at(Place(shown(url)), what) from None
    return engine


@contextmanager
def writing(store: Engine, *, alone: bool = True) -> Iterator[Connection]:
    """A transaction that writes. On SQLite it takes the write lock at once, waiting its turn.

    alone: wait for other writers on PostgreSQL too. Without, only rows are locked, and each
    change must be a compare-and-set. Raises `StoreLost` if the database is gone.
    """
    with _told(store), store.execution_options(immediate=True).begin() as connection:
        if alone:
            _wait_turn(connection)
        yield connection


@contextmanager
def reading(store: Engine) -> Iterator[Connection]:
    """A transaction that only reads; it sees one state and blocks nobody."""
    if store.dialect.name != "sqlite":
        store = store.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
    with _told(store), store.begin() as connection:
        yield connection


def retried(change: Callable[_Given, _Result]) -> Callable[_Given, _Result]:
    """A function that is one whole transaction, done again when the database gave it up."""

    @wraps(change)
    def again(*given: _Given.args, **named: _Given.kwargs) -> _Result:
        for number in range(1, _TRIES):
            try:
                return change(*given, **named)
            except _GivenUp:
                # Not in step with the one that it met.
                time.sleep(random.uniform(0.0, 0.01 * number))
        return change(*given, **named)

    return again


@contextmanager
def scratch(store: Store, table: Table) -> Iterator[Connection]:
    """A connection with a temporary table of its own, which is gone when the connection is.

    It holds on disk what would be too much for memory, and no other process sees it.
    """
    with _told(store), store.connect() as connection:
        connection.detach()  # a pool would keep the table with the connection
        with transaction(connection):
            table.create(connection, checkfirst=False)
        yield connection


@contextmanager
def transaction(connection: Connection, *, immediate: bool = False) -> Iterator[None]:
    """A transaction on a connection that is held for longer. immediate: it writes to the store."""
    connection.execution_options(immediate=immediate)
    with connection.begin():
        if immediate:
            _wait_turn(connection)
        yield


def _wait_turn(connection: Connection) -> None:
    """On PostgreSQL, one after another; SQLite's BEGIN IMMEDIATE has done that already."""
    if connection.dialect.name != "sqlite":
        connection.execute(select(func.pg_advisory_xact_lock(_LOCK)))


@contextmanager
def _told(store: Engine) -> Iterator[None]:
    """What PostgreSQL says of a lost line or of a transaction given up, as our own exceptions."""
    try:
        yield
    except DBAPIError as error:
        if store.dialect.name == "sqlite":
            raise
        kind: type[StoreLost] = StoreLost
        if getattr(error.orig, "sqlstate", None) in _GIVEN_UP:
            what = "is too busy: others change the same rows all the time"
            kind = _GivenUp
        elif error.connection_invalidated or isinstance(error, (OperationalError, InterfaceError)):
            what = "cannot be reached: " + " ".join(str(error.orig).split())
        else:
            raise
        raise kind([Problem(Place(shown(store.url)), what)]) from error


def _migrate(engine: Engine, url: URL) -> None:
    # A look waits for no writer, and needs no disk that can be written to.
    if _version(engine) == len(STEPS):
        return
    with writing(engine) as connection:
        METADATA.create_all(connection, tables=[schema_version])
        found = connection.execute(select(schema_version.c.version)).scalars().all()
        version = max(found, default=0)
        if version > len(STEPS):
            what = f"is of format {version}, this program knows up to {len(STEPS)}; upgrade it"
            raise BadInput.at(Place(shown(url)), what)
        for number, step in enumerate(STEPS[version:], version + 1):
            step(connection)
            connection.execute(insert(schema_version).values(version=number))


def _version(engine: Engine) -> int:
    """The last migration that a store has seen; 0 if it is empty."""
    with reading(engine) as connection:
        if not inspect(connection).has_table(schema_version.name):
            return 0
        return connection.scalar(select(func.max(schema_version.c.version))) or 0
