"""Taking an address back that was not to be written to, and keeping why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from sqlalchemy import Connection, Engine, delete, insert, select

from advisor.mailing.readers.reader import address_hash
from advisor.mailing.store.reader_tables import Suppressed
from advisor.mailing.store.store import writing
from advisor.mailing.store.tables import readmitted, suppression

BOUNCE = "bounce"
"""The one reason that nobody gave: an editor's word is enough against it. All others need the
reader's own consent, given anew."""


def readmit(store: Engine, address: str, why: str, on: dt.date) -> Suppressed | None:
    """Write again to one whose mails came back; why and since when that was not so.

    None if the address may be written to. Nothing is changed for any other reason than a bounce.
    """
    with writing(store) as connection:
        same = suppression.c.address_hash == address_hash(address)
        row = connection.execute(select(suppression).where(same)).one_or_none()
        if row is None:
            return None
        if row.reason == BOUNCE:
            readmit_in(connection, [row.address_hash], why, on)
        return Suppressed(row.reason, row.suppressed_on)


def readmit_by_consent(store: Engine, addresses: Iterable[str], on: dt.date) -> None:
    """Write again to those who agreed anew, after the day on which they were taken off."""
    hashes = [address_hash(address) for address in addresses]
    if hashes:
        with writing(store) as connection:
            readmit_in(connection, hashes, "consent given anew", on)


def readmit_in(connection: Connection, hashes: list[str], why: str, on: dt.date) -> int:
    """Lift suppressions as a part of a larger change; how many there were."""
    theirs = suppression.c.address_hash.in_(hashes)
    rows = connection.execute(select(suppression).where(theirs)).all()
    if rows:
        told = [
            {
                "address_hash": row.address_hash, "reason": row.reason,
                "suppressed_on": row.suppressed_on, "why": why, "readmitted_on": on,
            }
            for row in rows
        ]  # fmt: skip
        connection.execute(insert(readmitted), told)
        connection.execute(delete(suppression).where(theirs))
    return len(rows)
