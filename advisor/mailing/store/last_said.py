"""What each reader's last letter said, for the one that is being made."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection

from sqlalchemy import select

from advisor.mailing.store.letter_tables import unpacked
from advisor.mailing.store.store import Store, reading
from advisor.mailing.store.tables import copy, edition, letter

WEEKS = 8
"""What was said longer ago is no news (our choice)."""
_OUT = ("sending", "done")


class LastSaid:
    """The last letters before a day, of editions that have set out."""

    def __init__(self, store: Store, before: dt.date) -> None:
        self._store = store
        since = before - dt.timedelta(weeks=WEEKS)
        near = edition.c.first_day.between(since, before - dt.timedelta(days=1))
        query = select(edition.c.id).where(near, edition.c.state.in_(_OUT))
        with reading(store) as connection:
            newest_first = query.order_by(edition.c.first_day.desc())
            self._editions = list(connection.scalars(newest_first))

    def of(self, readers: Collection[int]) -> dict[int, str]:
        """By reader; nothing of one who got no letter. Give at most some thousands."""
        found: dict[int, str] = {}
        texts: dict[bytes, str] = {}
        with reading(self._store) as connection:
            for one in self._editions:
                left = [id for id in readers if id not in found]
                if not left:
                    break
                theirs = select(copy.c.reader_id, letter.c.said).join_from(copy, letter)
                got = (copy.c.edition_id == one, copy.c.reader_id.in_(left), letter.c.text != "")
                for reader, said in connection.execute(theirs.where(*got)):
                    # Most say the same: one text for all of them.
                    found[reader] = texts.get(said) or texts.setdefault(said, unpacked(said))
        return found
