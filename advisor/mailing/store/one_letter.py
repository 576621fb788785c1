"""Migration: each letter is kept once, and a reader's row tells the hash of the address."""

from __future__ import annotations

from sqlalchemy import Connection, column, insert, inspect, select, table, text, update

from advisor.mailing.readers.reader import address_hash
from advisor.mailing.store.letter_tables import letter_hash
from advisor.mailing.store.tables import METADATA, letter, reader

_PAGE = 500
_MOVED = ("content_key", "subject", "text", "html")


def letters_once(connection: Connection) -> None:
    """Bring a store of format 2 up to date; one that was made with these tables stays as it is."""
    columns = {
        name: {found["name"] for found in inspect(connection).get_columns(name)}
        for name in ("reader", "copy")
    }
    if "address_hash" not in columns["reader"]:
        _hash_addresses(connection)
    if "letter_id" not in columns["copy"]:
        _move_letters(connection)


def _hash_addresses(connection: Connection) -> None:
    connection.execute(
        text("ALTER TABLE reader ADD COLUMN address_hash VARCHAR(64) NOT NULL DEFAULT ''")
    )
    last = 0
    while True:
        some = select(reader.c.id, reader.c.address_key).where(reader.c.id > last)
        rows = connection.execute(some.order_by(reader.c.id).limit(_PAGE)).all()
        for id, key in rows:
            hashed = update(reader).where(reader.c.id == id)
            connection.execute(hashed.values(address_hash=address_hash(key)))
        if len(rows) < _PAGE:
            return
        last = rows[-1].id


def _move_letters(connection: Connection) -> None:
    METADATA.create_all(connection, tables=[letter])
    connection.execute(text("ALTER TABLE copy ADD COLUMN letter_id INTEGER REFERENCES letter (id)"))
    old = table("copy", column("id"), column("letter_id"), *(column(name) for name in _MOVED))
    last = 0
    while True:
        some = select(old.c.id, *(old.c[name] for name in _MOVED)).where(old.c.id > last)
        rows = connection.execute(some.order_by(old.c.id).limit(_PAGE)).all()
        for id, *content in rows:
            # Two copies of the same content key may differ: each keeps its own words.
            hashed = letter_hash(content[0], content[1:])
            same = select(letter.c.id).where(letter.c.hash == hashed)
            found = connection.scalar(same)
            if found is None:
                values = dict(zip(_MOVED, content, strict=True))
                connection.execute(insert(letter).values(hash=hashed, **values))
                found = connection.scalar(same)
            connection.execute(update(old).where(old.c.id == id).values(letter_id=found))
        if len(rows) < _PAGE:
            break
        last = rows[-1].id
    for name in _MOVED:
        connection.execute(text(f"ALTER TABLE copy DROP COLUMN {name}"))
    connection.execute(text("CREATE INDEX ix_copy_letter_id ON copy (letter_id)"))
    # The unique index of edition and reader begins with the edition, too.
    connection.execute(text("DROP INDEX IF EXISTS ix_copy_edition_id"))
    if connection.dialect.name == "postgresql":
        connection.execute(text("ALTER TABLE copy ALTER COLUMN letter_id SET NOT NULL"))
