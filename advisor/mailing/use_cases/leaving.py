"""A reader leaves the list by the link of a mail."""

from __future__ import annotations

import datetime as dt

from advisor.mailing.mails.identity import ListIdentity
from advisor.mailing.mails.tokens import Forged, read_leaving_token
from advisor.mailing.store.reader_tables import address_of, suppress
from advisor.mailing.store.store import Store


def is_ours(identity: ListIdentity, key: bytes, token: str) -> bool:
    """Whether a link was made for a reader of this list. Nothing is looked up."""
    try:
        return read_leaving_token(key, token)[0] == identity.list_id
    except Forged:
        return False


def leave(
    store: Store, identity: ListIdentity, key: bytes, token: str, reason: str, on: dt.date
) -> bool:
    """Never write to the reader of a link again; False if it is no link of ours.

    One who has left, or was erased, leaves again without a word.
    """
    if not is_ours(identity, key, token):
        return False
    address = address_of(store, int(read_leaving_token(key, token)[1]))
    if address is not None:
        suppress(store, address, reason, on)
    return True
