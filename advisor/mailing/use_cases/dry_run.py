"""What of an edition would go out, and what of it first."""

from __future__ import annotations

import datetime as dt

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record
from advisor.mailing.outbox.run import edition_name, goes_first
from advisor.mailing.store.edition_tables import readers_of
from advisor.mailing.store.store import Store


class GoingOut(Record, frozen=True):
    """mails: that would be sent. none: readers who want no mail this week. first: in the canary."""

    mails: int = 0
    none: int = 0
    first: int = 0


def going_out(store: Store, edition_id: int, first_day: dt.date, share: float) -> GoingOut:
    """Count the copies of an edition as a send with this canary share would treat them."""
    name = edition_name(first_day)
    mails = none = first = 0
    for reader, is_none in readers_of(store, edition_id):
        none += is_none
        mails += not is_none
        first += not is_none and goes_first(name, reader, share)
    return GoingOut(mails, none, first)


def checked_share(canary: float) -> float:
    """The same. Raises `BadInput` if it is no share that leaves some for later."""
    if not 0.0 <= canary < 1.0:
        raise BadInput.at(Place("--canary"), f"{canary:g} is no share; wanted 0 to below 1")
    return canary
