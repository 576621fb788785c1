"""One reader's mail, byte for byte as it is sent or was sent."""

from __future__ import annotations

from advisor.base.dates import now_utc
from advisor.mailing.letters.letter import Letter, list_message
from advisor.mailing.mails.guard import address
from advisor.mailing.mails.identity import ListIdentity, answered_at
from advisor.mailing.outbox.run import edition_name, sender_of
from advisor.mailing.readers.reader import Reader
from advisor.mailing.store.calendar_links import calendar_url
from advisor.mailing.store.edition_tables import EditionRow, frozen_message
from advisor.mailing.store.store import Store

_ON_ITS_WAY = ("sending", "done")


def message_as_sent(
    store: Store, edition: EditionRow, reader: Reader, letter: Letter, identity: ListIdentity,
    key: bytes,
) -> bytes:  # fmt: skip
    """The mail of a copy.

    Only its Date is open until the edition sets out: until then it is now. identity, key: the
    list's; what was on its way before keeps those that it set out with.
    Raises `BadInput` for what could not be sent.
    """
    frozen = frozen_message(store, edition.id, reader.id)
    if frozen is not None:
        return frozen
    name = edition_name(edition.first_day)
    sender, dated = answered_at(identity, edition.reply_to), now_utc().replace(microsecond=0)
    if edition.state in _ON_ITS_WAY:
        sender, dated, name = sender_of(store, edition.id)
    return list_message(
        letter, sender, key, edition=name, dated=dated, reader=str(reader.id),
        to=address(reader.address, "To"), calendar=calendar_url(store, sender, key, reader.id),
    )  # fmt: skip
