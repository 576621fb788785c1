"""Readers and suppressions in the store."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Engine, RowMapping, delete, func, insert, select, update
from sqlalchemy.dialects import postgresql, sqlite

from advisor.delivery.reader import Measured, Reader, address_key
from advisor.delivery.report_tables import report
from advisor.delivery.store import reading, retried, writing
from advisor.delivery.tables import copy, reader, suppression
from advisor.delivery.wishes import Wishes

_WISHES = "wishes"


@dataclass(frozen=True)
class Suppressed:
    """Why and since when an address must not be written to."""

    reason: str
    on: dt.date


@dataclass(frozen=True)
class Suppressions:
    """Everybody who must not be written to, by the hash of the address."""

    by_hash: Mapping[str, Suppressed]

    def of(self, address: str) -> Suppressed | None:
        return self.by_hash.get(address_hash(address))


def address_hash(address: str) -> str:
    """SHA-256 of the case-folded address, in hex."""
    return hashlib.sha256(address_key(address).encode()).hexdigest()


def suppressions(store: Engine) -> Suppressions:
    """All suppressed addresses."""
    with reading(store) as connection:
        rows = connection.execute(select(suppression)).mappings()
        return Suppressions(
            {r["address_hash"]: Suppressed(r["reason"], r["suppressed_on"]) for r in rows}
        )


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


def put_readers(store: Engine, readers: Iterable[Reader], today: dt.date) -> tuple[int, int, int]:
    """Add readers, or change those whose address is known. Returns added, changed, unchanged."""
    added, changed, unchanged = [], [], 0
    with writing(store) as connection:
        known = {row["address_key"]: row for row in connection.execute(select(reader)).mappings()}
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
        one = _reader(row)
        extra = _extra(one, wishes.over(one.wishes))
        connection.execute(update(reader).where(same).values(extra=extra))
    return find_reader(store, address)


def all_readers(store: Engine) -> list[Reader]:
    """Every reader who may be written to, in the order of their rows."""
    gone = suppressions(store)
    with reading(store) as connection:
        rows = connection.execute(select(reader).order_by(reader.c.id)).mappings()
        found = [_reader(row) for row in rows]
    return [one for one in found if gone.of(one.address) is None]


def find_reader(store: Engine, address: str) -> Reader | None:
    """The reader with an address, suppressed or not."""
    with reading(store) as connection:
        query = select(reader).where(reader.c.address_key == address_key(address))
        row = connection.execute(query).mappings().first()
        return None if row is None else _reader(row)


def export_reader(store: Engine, address: str) -> dict[str, Any] | None:
    """Everything kept about a person, as plain data; None if nothing is."""
    left = suppressions(store).of(address)
    with reading(store) as connection:
        query = select(reader).where(reader.c.address_key == address_key(address))
        row = connection.execute(query).mappings().first()
        copies, reports = [], []
        if row is not None:
            columns = (copy.c.edition_id, copy.c.subject, copy.c.text)
            mine = select(*columns).where(copy.c.reader_id == row["id"]).order_by(copy.c.id)
            copies = [dict(found) for found in connection.execute(mine).mappings()]
            told = (report.c.edition_id, report.c.kind, report.c.status, report.c.counted_on)
            about = select(*told).where(report.c.reader_id == row["id"])
            reports = [dict(found) for found in connection.execute(about).mappings()]
    if row is None and left is None:
        return None
    return {
        "format": 1,
        "reader": None if row is None else dict(row),
        "suppressed": None if left is None else {"reason": left.reason, "on": left.on},
        "copies": copies,
        "reports": reports,
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
    with writing(store) as connection:
        same = reader.c.address_key == address_key(address)
        return connection.execute(delete(reader).where(same)).rowcount


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


def _reader(row: RowMapping) -> Reader:
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
