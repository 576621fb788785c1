"""On which line of a list's file each address first stood, kept on disk while it is read."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager

from sqlalchemy import Column, Connection, Integer, MetaData, String, Table, insert, select

from advisor.mailing.readers.reader import address_hash, address_key
from advisor.mailing.store.store import Store, scratch, transaction

_seen = Table(
    "import_seen",
    MetaData(),
    # The hash, since a temporary file is not wiped.
    Column("address_hash", String(64), primary_key=True),
    Column("line", Integer, nullable=False),
    prefixes=["TEMPORARY"],
)


class SeenLines:
    """The addresses of the lines so far."""

    def __init__(self, connection: Connection) -> None:
        self._db = connection

    def first_lines(self, lines: Sequence[tuple[str, int]]) -> dict[str, int]:
        """Of addresses with their lines: each one's key, and the first line it ever stood on."""
        hashes = {address_key(address): address_hash(address) for address, _ in lines}
        query = select(_seen).where(_seen.c.address_hash.in_(list(hashes.values())))
        with transaction(self._db):
            known = {row.address_hash: row.line for row in self._db.execute(query)}
            new: dict[str, int] = {}
            for address, line in lines:
                hashed = hashes[address_key(address)]
                if hashed not in known:
                    new.setdefault(hashed, line)
            if new:
                rows = [{"address_hash": hashed, "line": line} for hashed, line in new.items()]
                self._db.execute(insert(_seen), rows)
        found = known | new
        return {key: found[hashed] for key, hashed in hashes.items()}


@contextmanager
def seen_lines(store: Store) -> Iterator[SeenLines]:
    """Nothing seen yet."""
    with scratch(store, _seen) as connection:
        yield SeenLines(connection)
