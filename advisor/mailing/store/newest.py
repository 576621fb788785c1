"""Which edition a command means when none is named."""

from __future__ import annotations

from collections.abc import Collection

from sqlalchemy import select

from advisor.mailing.store.store import Store, reading
from advisor.mailing.store.tables import edition


def newest_edition(store: Store, states: Collection[str]) -> int | None:
    """The id of the latest week's edition in one of the states; None if there is none."""
    with reading(store) as db:
        found = select(edition.c.id).where(edition.c.state.in_(states))
        return db.scalar(found.order_by(edition.c.first_day.desc(), edition.c.id.desc()).limit(1))
