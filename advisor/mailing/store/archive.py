"""What everybody may read of the editions that were sent: nothing about any one reader."""

from __future__ import annotations

import datetime as dt
import zlib
from collections.abc import Iterable
from typing import Any

from sqlalchemy import Connection, Row, Select, delete, func, insert, select, update

from advisor.base.record import Record, asdict
from advisor.mailing.letters.attachments import Page
from advisor.mailing.letters.compose import Editor
from advisor.mailing.store.outbox_tables import run
from advisor.mailing.store.store import Store, reading
from advisor.mailing.store.tables import copy, edition, letter
from advisor.mailing.store.web_tables import page

LEAST_READERS = 3
"""A digest is shown if so many got the very same one, so that it points to none (our choice)."""
MOST_EDITIONS = 104
PAGES_AT_ONCE = 100
_CHUNK = 500
_OF = (page.c.place, page.c.grass, page.c.region, page.c.units)


class SentEdition(Record, frozen=True):
    """An edition that has gone out to all."""

    id: int
    first_day: dt.date
    editor: Editor


class ShownPage(Record, frozen=True):
    """A digest that is shown. number: among those of all editions."""

    number: int
    page: Page


def sent_editions(store: Store) -> list[SentEdition]:
    """The newest that have gone out, newest first."""
    with reading(store) as connection:
        query = _sent().order_by(edition.c.first_day.desc()).limit(MOST_EDITIONS)
        return [_edition(row) for row in connection.execute(query)]


def sent_edition(store: Store, first_day: dt.date) -> SentEdition | None:
    """The edition of a week, if it has gone out."""
    with reading(store) as connection:
        row = connection.execute(_sent().where(edition.c.first_day == first_day)).first()
        return None if row is None else _edition(row)


def put_pages(
    connection: Connection, edition_id: int, made: Iterable[tuple[str, str, Page]]
) -> None:
    """Keep digests (content key, HTML, of whom) that may be shown once the edition is approved."""
    rows = {
        key: {"edition_id": edition_id, "content_key": key, "html": zlib.compress(html.encode()),
              "shown": False, **asdict(of)}
        for key, html, of in made
    }  # fmt: skip
    keys = list(rows)
    for start in range(0, len(keys), _CHUNK):
        some = keys[start : start + _CHUNK]
        same = (page.c.edition_id == edition_id) & page.c.content_key.in_(some)
        connection.execute(delete(page).where(same))
        connection.execute(insert(page), [rows[key] for key in some])


def publish(connection: Connection, edition_id: int) -> None:
    """Choose what of an approved edition is shown: what at least three readers got alike.

    Of one place and grass, what most of them got: who had no letter before is told of no changes.
    """
    readers = func.count().label("readers")
    counted = (
        select(letter.c.content_key, readers)
        .join_from(copy, letter)
        .where(copy.c.edition_id == edition_id)
        .group_by(letter.c.content_key)
        .having(readers >= LEAST_READERS)
        .subquery()
    )
    this = page.c.edition_id == edition_id
    most_first = (counted.c.readers.desc(), page.c.id)
    rank = func.row_number().over(partition_by=_OF, order_by=most_first).label("rank")
    alike = select(page.c.id, rank).join(counted, page.c.content_key == counted.c.content_key)
    ranked = alike.where(this).subquery()
    chosen = select(ranked.c.id).where(ranked.c.rank == 1)
    connection.execute(update(page).where(page.c.id.in_(chosen)).values(shown=True))
    connection.execute(delete(page).where(this, page.c.shown.is_(False)))


def hide(connection: Connection, edition_id: int) -> None:
    """Show nothing of an edition whose approval was taken back."""
    this = update(page).where(page.c.edition_id == edition_id)
    connection.execute(this.values(shown=False))


def shown_pages(store: Store, edition_id: int, skip: int = 0) -> tuple[list[ShownPage], bool]:
    """Up to 100 digests by place and grass, and whether there are more."""
    query = select(page.c.id, *_OF).where(page.c.edition_id == edition_id, page.c.shown)
    query = query.order_by(*_OF, page.c.id).offset(skip).limit(PAGES_AT_ONCE + 1)
    with reading(store) as connection:
        found = [ShownPage(row[0], Page(*row[1:])) for row in connection.execute(query)]
    return found[:PAGES_AT_ONCE], len(found) > PAGES_AT_ONCE


def shown_html(store: Store, edition_id: int, number: int) -> str | None:
    """The frozen digest of a page; None if it is not shown."""
    this = (page.c.edition_id == edition_id, page.c.id == number, page.c.shown)
    with reading(store) as connection:
        packed = connection.scalar(select(page.c.html).where(*this))
    return None if packed is None else zlib.decompress(packed).decode()


def _sent() -> Select[tuple[int, dt.date, str, str, str]]:
    # A first share may still show a fault; what it got is not public yet.
    open_run = select(run.c.edition_id).where(run.c.phase == "open")
    sending = (edition.c.state == "sending") & edition.c.id.in_(open_run)
    words = (edition.c.note, edition.c.question, edition.c.correction)
    return select(edition.c.id, edition.c.first_day, *words).where(
        (edition.c.state == "done") | sending
    )


def _edition(row: Row[Any]) -> SentEdition:
    return SentEdition(row.id, row.first_day, Editor(row.note, row.question, row.correction))
