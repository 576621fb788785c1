"""A reader's link to the calendar: opaque, signed, and revocable by its number in the store."""

from __future__ import annotations

from sqlalchemy import Connection, delete, insert, select

from advisor.mailing.mails.identity import ListIdentity
from advisor.mailing.mails.tokens import Forged, calendar_token, read_calendar_token
from advisor.mailing.store.reader_tables import address_of, suppressed
from advisor.mailing.store.seasons import calendar_of
from advisor.mailing.store.store import Store, reading, writing
from advisor.mailing.store.web_tables import calendar_link


def calendar_url(store: Store, identity: ListIdentity, key: bytes, reader_id: int) -> str:
    """The link as it goes into a mail; empty if the list has no pages or the link was revoked."""
    if not identity.web_url:
        return ""
    number = link_number(store, reader_id)
    if number is None:
        return ""
    token = calendar_token(key, identity.list_id, str(reader_id), number)
    return f"{identity.web_url.rstrip('/')}/calendar/{token}.ics"


def link_number(store: Store, reader_id: int) -> int | None:
    """The number that a link must carry to work; None if none does."""
    with reading(store) as connection:
        return _number(connection, reader_id)


def calendar_behind(store: Store, identity: ListIdentity, key: bytes, token: str) -> bytes | None:
    """The calendar that a link leads to.

    None if it is no link of ours, was taken back, or its reader has left or has had no edition.
    """
    try:
        list_id, reader, number = read_calendar_token(key, token)
    except Forged:
        return None
    id = int(reader)
    if list_id != identity.list_id or number != link_number(store, id):
        return None
    address = address_of(store, id)
    if address is None or suppressed(store, [address]):
        return None
    return calendar_of(store, identity, id)


def revoke_link(store: Store, reader_id: int) -> None:
    """From now on no link of this reader works."""
    _change(store, reader_id, works=False)


def renew_link(store: Store, reader_id: int) -> None:
    """From now on a new link works and no older one."""
    _change(store, reader_id, works=True)


def _change(store: Store, reader_id: int, *, works: bool) -> None:
    mine = calendar_link.c.reader_id == reader_id
    with writing(store) as connection:
        last = connection.scalar(select(calendar_link.c.number).where(mine)) or 0
        connection.execute(delete(calendar_link).where(mine))
        row = {"reader_id": reader_id, "number": last + 1, "works": works}
        connection.execute(insert(calendar_link).values(row))


def _number(connection: Connection, reader_id: int) -> int | None:
    columns = select(calendar_link.c.number, calendar_link.c.works)
    row = connection.execute(columns.where(calendar_link.c.reader_id == reader_id)).first()
    if row is None:
        return 0
    return row.number if row.works else None
