"""What a build has to do, kept in the database: which key each reader has, and who lacks a copy.

Nothing here grows in memory with the readers. All of it stands in a temporary table of one
connection, so that two builds do not disturb each other and a build that dies leaves nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from typing import NamedTuple

from sqlalchemy import (
    Column,
    ColumnElement,
    Connection,
    Float,
    Integer,
    MetaData,
    Select,
    String,
    Table,
    Text,
    delete,
    exists,
    func,
    insert,
    literal,
    select,
    text,
    tuple_,
)

from advisor.mailing.letters.letter import Letter
from advisor.mailing.readers.reader import Reader
from advisor.mailing.store.archive import put_pages
from advisor.mailing.store.letter_tables import drop_unused, put_letters
from advisor.mailing.store.reader_tables import reader_of
from advisor.mailing.store.seasons import put_seasons
from advisor.mailing.store.store import Store, scratch, transaction
from advisor.mailing.store.tables import copy, edition, letter, reader

_scratch = MetaData()
_key = Table(
    "build_key",
    _scratch,
    Column("reader_id", Integer, primary_key=True, autoincrement=False),
    Column("content_key", String(64), nullable=False),
    # The order of work: a place's keys together, those that differ only in size side by side.
    Column("place", Text, nullable=False),
    Column("alike", String(64), nullable=False),
    Column("area_m2", Float, nullable=False),
    prefixes=["TEMPORARY"],
)


class Row(NamedTuple):
    """The key of a reader. content_key: of all that goes into the letter. place: its weather's.

    alike: the same for keys that differ only in the size of the lawn. area_m2: 0 if not known.
    """

    reader_id: int
    content_key: str
    place: str
    alike: str
    area_m2: float


class Worklist:
    """One build's work on one edition. Add all rows, then `close` it, then ask."""

    def __init__(self, connection: Connection, edition_id: int) -> None:
        self._db = connection
        self._edition = edition_id

    def add(self, rows: Iterable[Row]) -> None:
        """Put down the keys of some more readers."""
        with transaction(self._db):
            self._db.execute(insert(_key), [row._asdict() for row in rows])

    def close(self) -> None:
        """All readers are in; make it quick to look through."""
        with transaction(self._db):
            # Indexes are cheaper to make once the rows are there.
            for order in ("place, alike, area_m2, content_key", "content_key"):
                name = f"build_by_{order.partition(',')[0]}"
                self._db.execute(text(f"CREATE INDEX {name} ON build_key ({order})"))
            self._db.execute(text("ANALYZE build_key"))

    def totals(self) -> tuple[int, int]:
        """How many readers there are, and how many different keys."""
        different = select(_key.c.content_key).distinct().subquery()
        with transaction(self._db):
            readers = self._db.scalar(select(func.count()).select_from(_key)) or 0
            return readers, self._db.scalar(select(func.count()).select_from(different)) or 0

    def unmade(self) -> int:
        """How many keys have no letter yet."""
        keys = select(_key.c.content_key).where(~_made()).distinct().subquery()
        with transaction(self._db):
            return self._db.scalar(select(func.count()).select_from(keys)) or 0

    def places(self) -> list[str]:
        """The places where a letter is to be made, in order."""
        found = select(_key.c.place).where(~_made()).distinct().order_by(_key.c.place)
        with transaction(self._db):
            return list(self._db.scalars(found))

    def pages(self, place: str, most: int) -> Iterator[list[Reader]]:
        """One reader of each key of a place that has no letter yet, some at a time."""
        order = (_key.c.alike, _key.c.area_m2, _key.c.content_key)
        found_keys = select(*order, func.min(_key.c.reader_id).label("one")).group_by(*order)
        found_keys = found_keys.where(_key.c.place == place, ~_made()).order_by(*order).limit(most)
        after: Select[tuple[str, float, str, int]] = found_keys
        while True:
            with transaction(self._db):
                found = self._db.execute(after).all()
                ids = [row.one for row in found]
                people = self._db.execute(select(reader).where(reader.c.id.in_(ids))).mappings()
                by_id = {row["id"]: reader_of(row) for row in people}
            # One who was erased just now is left out, and seen at the next build.
            yield [by_id[row.one] for row in found if row.one in by_id]
            if len(found) < most:
                return
            after = found_keys.where(tuple_(*order) > tuple_(*(literal(v) for v in found[-1][:3])))

    def drop_left(self) -> int:
        """Take away the copies of those who must get none; how many."""
        gone = delete(copy).where(
            copy.c.edition_id == self._edition,
            ~exists().where(_key.c.reader_id == copy.c.reader_id),
        )
        with transaction(self._db, immediate=True):
            return self._db.execute(gone).rowcount if self._locked() else 0

    def put(self, made: Sequence[tuple[str, Letter]]) -> int:
        """Keep letters and give each reader of these keys a copy; how many were given."""
        with transaction(self._db, immediate=True):
            if not made or not self._locked():
                return 0
            put_letters(self._db, made)
            beside = [(key, one.html, one.beside) for key, one in made if one.beside]
            put_seasons(self._db, self._edition, (found for _, _, found in beside))
            put_pages(self._db, self._edition, ((k, h, b.page) for k, h, b in beside if b.page))
            return self._link([key for key, _ in made])

    def link(self) -> int:
        """Give a copy to every reader whose letter is there already; how many were given."""
        with transaction(self._db, immediate=True):
            return self._link(None) if self._locked() else 0

    def clean(self) -> None:
        """Delete letters that nobody gets any more."""
        with transaction(self._db, immediate=True):
            if self._locked():
                drop_unused(self._db)

    def readers_of(self, content_key: str, most: int) -> list[int]:
        """The first readers of a key."""
        same = select(_key.c.reader_id).where(_key.c.content_key == content_key)
        with transaction(self._db):
            return list(self._db.scalars(same.order_by(_key.c.reader_id).limit(most)))

    def lacking(self) -> int:
        """How many readers have no copy, or one that is not as it should be."""
        fine = exists().where(
            copy.c.edition_id == self._edition,
            copy.c.reader_id == _key.c.reader_id,
            letter.c.id == copy.c.letter_id,
            letter.c.content_key == _key.c.content_key,
        )
        known = exists().where(reader.c.id == _key.c.reader_id)
        with transaction(self._db):
            wanting = select(func.count()).select_from(_key).where(known, ~fine)
            return self._db.scalar(wanting) or 0

    def _locked(self) -> bool:
        """Whether it is a draft, which nobody else changes until this transaction ends."""
        state = select(edition.c.state).where(edition.c.id == self._edition).with_for_update()
        return self._db.scalar(state) == "draft"

    def _link(self, keys: list[str] | None) -> int:
        chosen = [_made()] if keys is None else [_key.c.content_key.in_(keys)]
        # Found by reader: by edition, each share would look through all copies.
        own = select(letter.c.content_key).where(letter.c.id == copy.c.letter_id)
        new = select(_key.c.content_key).where(_key.c.reader_id == copy.c.reader_id)
        old = delete(copy).where(
            copy.c.edition_id == self._edition,
            copy.c.reader_id.in_(select(_key.c.reader_id).where(*chosen)),
            own.scalar_subquery() != new.scalar_subquery(),
        )
        self._db.execute(old)
        first = select(func.min(letter.c.id)).where(letter.c.content_key == _key.c.content_key)
        has = exists().where(
            copy.c.edition_id == self._edition, copy.c.reader_id == _key.c.reader_id
        )
        rows = (
            select(literal(self._edition), _key.c.reader_id, first.scalar_subquery())
            .join(reader, reader.c.id == _key.c.reader_id)
            .where(*chosen, ~has)
            # Nobody is erased in between.
            .with_for_update(read=True, key_share=True, of=reader)
        )
        columns = ["edition_id", "reader_id", "letter_id"]
        # Some drivers keep no count of inserted rows unless they are asked to.
        added = insert(copy).from_select(columns, rows)
        return self._db.execute(added, execution_options={"preserve_rowcount": True}).rowcount


def _made() -> ColumnElement[bool]:
    """Of a row of `build_key`: its letter is there."""
    same = letter.alias("same")
    return exists().where(same.c.content_key == _key.c.content_key)


@contextmanager
def worklist(store: Store, edition_id: int) -> Iterator[Worklist]:
    """An empty worklist of an edition."""
    with scratch(store, _key) as connection:
        yield Worklist(connection, edition_id)
