"""Readers and suppressions in the store."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Sequence
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Engine,
    RowMapping,
    delete,
    exists,
    func,
    insert,
    select,
    update,
)
from sqlalchemy.dialects import postgresql, sqlite

from advisor.base.record import Record
from advisor.mailing.readers.reader import Measured, Reader, address_hash, address_key
from advisor.mailing.readers.wishes import Wishes
from advisor.mailing.store.letter_tables import drop_unused, unpacked
from advisor.mailing.store.report_tables import report
from advisor.mailing.store.store import reading, retried, writing
from advisor.mailing.store.tables import copy, letter, reader, readmitted, suppression
from advisor.mailing.store.web_tables import calendar_link

PAGE = 2_000
"""Readers in memory at once."""
_WISHES = "wishes"


class Suppressed(Record, frozen=True):
    """Why and since when an address must not be written to."""

    reason: str
    on: dt.date


def suppressed(store: Engine, addresses: Collection[str]) -> dict[str, Suppressed]:
    """Who of these must not be written to: address to why and since when."""
    by_hash = {address_hash(address): address for address in addresses}
    with reading(store) as connection:
        query = select(suppression).where(suppression.c.address_hash.in_(list(by_hash)))
        return {
            by_hash[row["address_hash"]]: Suppressed(row["reason"], row["suppressed_on"])
            for row in connection.execute(query).mappings()
        }


def written_to() -> ColumnElement[bool]:
    """Of a row of `reader`: nobody has suppressed the address."""
    return ~exists().where(suppression.c.address_hash == reader.c.address_hash)


def suppress(store: Engine, address: str, reason: str, on: dt.date) -> bool:
    """Never write to an address again; False if it was so already. The first reason stays."""
    # Nobody who leaves waits for an import or a build.
    with writing(store, alone=False) as connection:
        return suppress_in(connection, address, reason, on)


def suppress_in(connection: Connection, address: str, reason: str, on: dt.date) -> bool:
    """`suppress` as a part of a larger change of the store."""
    row = {"address_hash": address_hash(address), "reason": reason, "suppressed_on": on}
    new = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
    put = new(suppression).values(row).on_conflict_do_nothing()
    return connection.scalar(put.returning(suppression.c.address_hash)) is not None


def put_readers(store: Engine, readers: Sequence[Reader], today: dt.date) -> tuple[int, int, int]:
    """Add readers, or change those whose address is known. Returns added, changed, unchanged.

    They are looked up all at once, so give at most some thousands.
    """
    added, changed, unchanged = [], [], 0
    with writing(store) as connection:
        same = reader.c.address_key.in_([one.key for one in readers])
        known = {
            row["address_key"]: row
            for row in connection.execute(select(reader).where(same)).mappings()
        }
        for one in readers:
            values = _values(one)
            row = known.get(one.key)
            if row is None:
                added.append(values | {"created_on": today})
                continue
            values["extra"] = _extra(one, one.wishes.over(_wishes(row)))
            if any(row[name] != value for name, value in values.items()):
                changed.append((row["id"], values))
            else:
                unchanged += 1
        if added:
            connection.execute(insert(reader), added)
        for id, values in changed:
            connection.execute(update(reader).where(reader.c.id == id).values(**values))
    return len(added), len(changed), unchanged


def wish(store: Engine, address: str, wishes: Wishes) -> Reader | None:
    """Put down what a reader wishes; what is not said stays. The reader, None if there is none."""
    with writing(store) as connection:
        same = reader.c.address_key == address_key(address)
        row = connection.execute(select(reader).where(same)).mappings().first()
        if row is None:
            return None
        one = reader_of(row)
        extra = _extra(one, wishes.over(one.wishes))
        connection.execute(update(reader).where(same).values(extra=extra))
    return find_reader(store, address)


def reader_pages(store: Engine, most: int = PAGE) -> Iterator[list[Reader]]:
    """Every reader who may be written to, in the order of their rows, some at a time."""
    last = 0
    while True:
        some = select(reader).where(reader.c.id > last, written_to()).order_by(reader.c.id)
        with reading(store) as connection:
            rows = connection.execute(some.limit(most)).mappings().all()
        if rows:
            last = rows[-1]["id"]
            yield [reader_of(row) for row in rows]
        if len(rows) < most:
            return


def all_readers(store: Engine) -> list[Reader]:
    """Every reader who may be written to, in memory: for short lists."""
    return [one for page in reader_pages(store) for one in page]


def count_written_to(store: Engine) -> tuple[int, int]:
    """How many readers are written to, and how many addresses must never be."""
    with reading(store) as connection:
        readers = select(func.count()).select_from(reader).where(written_to())
        left = select(func.count()).select_from(suppression)
        return connection.scalar(readers) or 0, connection.scalar(left) or 0


def find_reader(store: Engine, address: str) -> Reader | None:
    """The reader with an address, suppressed or not."""
    with reading(store) as connection:
        query = select(reader).where(reader.c.address_key == address_key(address))
        row = connection.execute(query).mappings().first()
        return None if row is None else reader_of(row)


def address_of(store: Engine, id: int) -> str | None:
    """The address of a reader, suppressed or not; None if there is no such reader any more."""
    with reading(store) as connection:
        return connection.scalar(select(reader.c.address).where(reader.c.id == id))


def export_reader(store: Engine, address: str) -> dict[str, Any] | None:
    """Everything kept about a person, as plain data; None if nothing is."""
    left = suppressed(store, [address]).get(address)
    with reading(store) as connection:
        query = select(reader).where(reader.c.address_key == address_key(address))
        row = connection.execute(query).mappings().first()
        copies, reports, link = [], [], None
        if row is not None:
            columns = select(copy.c.edition_id, letter.c.subject, letter.c.text, letter.c.said)
            mine = columns.join_from(copy, letter).where(copy.c.reader_id == row["id"])
            mine = mine.order_by(copy.c.id)
            copies = [
                {**found, "said": unpacked(found["said"])}
                for found in connection.execute(mine).mappings()
            ]
            told = (report.c.edition_id, report.c.kind, report.c.status, report.c.counted_on)
            about = select(*told).where(report.c.reader_id == row["id"])
            reports = [dict(found) for found in connection.execute(about).mappings()]
            numbers = select(calendar_link.c.number, calendar_link.c.works)
            of = connection.execute(numbers.where(calendar_link.c.reader_id == row["id"]))
            link = of.mappings().first()
        once = (readmitted.c.reason, readmitted.c.suppressed_on, readmitted.c.why,
                readmitted.c.readmitted_on)  # fmt: skip
        same = readmitted.c.address_hash == address_hash(address)
        back = [dict(found) for found in connection.execute(select(*once).where(same)).mappings()]
    if row is None and left is None:
        return None
    return {
        "format": 1,
        "reader": None if row is None else dict(row),
        "suppressed": None if left is None else {"reason": left.reason, "on": left.on},
        "readmitted": back,
        "copies": copies,
        "reports": reports,
        "calendar_link": None if link is None else dict(link),
    }


def erase_reader(store: Engine, address: str, on: dt.date) -> bool:
    """Delete everything about a person; only the hash of the address stays, as suppressed.

    Without it the next import would bring the person back. False if there was no such reader.
    """
    suppress(store, address, "asked to be erased", on)
    gone = _delete_reader(store, address)
    if store.dialect.name == "sqlite":
        # Deleted text lingers in the log of changes until it is folded into the file.
        with store.connect() as connection:
            connection.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").close()
    return gone > 0


@retried
def _delete_reader(store: Engine, address: str) -> int:
    same = reader.c.address_key == address_key(address)
    with writing(store) as connection:
        # What only this person got tells of this person's lawn.
        theirs = select(copy.c.letter_id).join_from(copy, reader).where(same)
        letters = list(connection.scalars(theirs))
        gone = connection.execute(delete(reader).where(same)).rowcount
        back = readmitted.c.address_hash == address_hash(address)
        connection.execute(delete(readmitted).where(back))
        drop_unused(connection, letters)
        return gone


def count_readers(store: Engine) -> list[tuple[str, str, int]]:
    """How many readers there are, by country and grass, suppressed ones included."""
    columns = (reader.c.country, reader.c.grass)
    with reading(store) as connection:
        query = select(*columns, func.count()).group_by(*columns).order_by(*columns)
        return [(row[0], row[1], row[2]) for row in connection.execute(query)]


def _values(one: Reader) -> dict[str, Any]:
    return {
        "address": one.address,
        "address_key": one.key,
        "name": one.name,
        "latitude": one.latitude,
        "longitude": one.longitude,
        "place": one.place,
        "country": one.country,
        "subdivision": one.subdivision,
        "time_zone": one.time_zone,
        "grass": one.grass,
        "area_m2": one.area_m2,
        "units": one.units,
        "permission_on": one.permission_on,
        "permission_source": one.permission_source,
        "extra": _extra(one, one.wishes),
    }


def _extra(one: Reader, wishes: Wishes) -> dict[str, Any]:
    found = {m.fact: {"value": m.value, "on": m.on.isoformat()} for m in one.measured}
    return found | ({_WISHES: wishes.told()} if wishes.told() else {})


def _wishes(row: RowMapping) -> Wishes:
    return Wishes(**row["extra"].get(_WISHES, {}))


def reader_of(row: RowMapping) -> Reader:
    """The reader of a row."""
    measured = (
        Measured(fact, said["value"], dt.date.fromisoformat(said["on"]))
        for fact, said in sorted(row["extra"].items())
        if fact != _WISHES
    )
    names = (
        "address", "name", "latitude", "longitude", "place", "country", "subdivision", "time_zone",
        "grass", "area_m2", "permission_on", "permission_source", "id",
    )  # fmt: skip
    wishes = _wishes(row)
    return Reader(
        measured=tuple(measured), wishes=wishes, units=wishes.units or row["units"],
        **{name: row[name] for name in names},
    )  # fmt: skip
