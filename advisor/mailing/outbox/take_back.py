"""Taking the approval of an edition back, as long as no mail of it was begun."""

from __future__ import annotations

from sqlalchemy import delete, func, select, update

from advisor.base.problems import BadInput, Place
from advisor.mailing.store.archive import hide
from advisor.mailing.store.edition_tables import EditionRow
from advisor.mailing.store.outbox_tables import mail, run
from advisor.mailing.store.store import Store, writing
from advisor.mailing.store.tables import edition

_NOT_BEGUN = ("ready", "suppressed", "expired")


def take_back(store: Store, approved: EditionRow) -> None:
    """Make an approved edition a draft again, and take its mails out of the outbox.

    Raises `BadInput`, and changes nothing, if it is not approved or a mail of it was begun.
    """
    place = Place(f"the edition of {approved.first_day}")
    this, ours = edition.c.id == approved.id, mail.c.edition_id == approved.id
    with writing(store) as db:
        state = db.scalar(select(edition.c.state).where(this))
        if state not in ("approved", "sending"):
            raise BadInput.at(place, f"is {state}; only what is approved can be taken back")
        untouched = (mail.c.attempts == 0, mail.c.began == 0.0, mail.c.state.in_(_NOT_BEGUN))
        db.execute(delete(mail).where(ours, *untouched))
        if begun := db.scalar(select(func.count()).where(ours)):
            what = (
                f"cannot be taken back: {begun:,} of its mails were sent, tried, or are in the "
                "hands of a sender (stop it, and try again)"
            )
            raise BadInput.at(place, what)
        db.execute(delete(run).where(run.c.edition_id == approved.id))
        db.execute(update(edition).where(this).values(state="draft", approved_at=None))
        hide(db, approved.id)
