"""Building an edition: every reader's digest, each distinct one composed once, all frozen.

Readers are looked at some at a time, and what has to be done stands in the database
(`worklist.py`), so that a build needs no more memory for a million of them than for ten thousand.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from hashlib import sha256
from pathlib import Path
from typing import Protocol

import advisor
from advisor.base.dates import now_utc
from advisor.mailing.editions.pool import SharedWork
from advisor.mailing.editions.worklist import Row, Worklist, worklist
from advisor.mailing.letters.batch import Done, Share, compose_share, longest, split
from advisor.mailing.letters.letter import Letter
from advisor.mailing.letters.letter_key import LetterKey, key_of
from advisor.mailing.readers.reader import Reader
from advisor.mailing.readers.weather_places import Nearest, read_places
from advisor.mailing.store.edition_tables import EditionRow, mark_built, open_edition
from advisor.mailing.store.last_said import LastSaid
from advisor.mailing.store.reader_tables import reader_pages
from advisor.mailing.store.store import Store
from advisor.render.digest.render import templates_hash
from advisor.rulebook.model import RuleBook

MOST_CASES = 100
"""In a share: enough that reading a cell's weather weighs little, few enough to be retried."""
MOST_TOLD = 1_000
"""Readers without a copy that are named; all are counted."""
CRASHED = "the process that worked on it crashed, or was stopped because it took too long"
Tell = Callable[[int, int], None]


class Workers(Protocol):
    """What shares are worked on with: the processes of this machine, or a cluster."""

    @property
    def crashes(self) -> int:
        """How often a process died of a share, as far as is known."""
        ...

    def run(self, shares: Iterable[Share]) -> Iterator[tuple[Share, Done | None]]:
        """Each share with its result, as they are done; None for one that always crashes."""
        ...


@dataclass
class Built:
    """What a build did. decided: sets of decisions made. slowest: seconds by cell, longest first.

    failed: readers without a copy (id, why), the first 1,000. lacking: how many have none, or an
    old one. state: of the edition; only a draft is built.
    """

    edition: EditionRow
    readers: int = 0
    distinct: int = 0
    written: int = 0
    dropped: int = 0
    decided: int = 0
    crashes: int = 0
    seconds: float = 0.0
    lacking: int = 0
    failed: list[tuple[int, str]] = field(default_factory=list)
    slowest: list[tuple[str, float]] = field(default_factory=list)


def week_of(day: dt.date) -> dt.date:
    """The Monday of a day's week: editions are of whole weeks."""
    return day - dt.timedelta(days=day.weekday())


def build_edition(
    folder: Path,
    store: Store,
    book: RuleBook,
    day: dt.date,
    today: dt.date,
    *,
    workers: int,
    tell: Tell = lambda done, of: None,
    work: Callable[[Share], Done] = compose_share,
    pool: Workers | None = None,
) -> Built:
    """Compose and freeze a copy for every reader of a list who may be written to.

    What is there already and unchanged is left alone, so that a build can be stopped and resumed,
    and a second one changes nothing. tell: called with the letters done and of how many. pool: in
    place of so many worker processes of this machine. Raises `BadInput` if the list's weather
    cannot be read.
    """
    edition = open_edition(store, folder.resolve().name, week_of(day), book.hash)
    built = Built(edition)
    if edition.state != "draft":
        return built
    pool = pool or SharedWork(work, split, workers, longest)
    builder = _Builder(folder, edition, book.hash, today, LastSaid(store, edition.first_day))
    with worklist(store, edition.id) as todo:
        for page in reader_pages(store):
            todo.add(map(builder.row, builder.keys_of(page)))
        todo.close()
        built.readers, built.distinct = todo.totals()
        built.dropped, built.written = todo.drop_left(), todo.link()
        number, finished, spent = todo.unmade(), 0, dict[str, float]()
        for share, done in pool.run(builder.shares(todo)):
            _put(built, todo, builder.keys(share), done)
            if done:
                built.decided += done.decided
                built.seconds += done.seconds
                name = share.keys[0].cell.name if share.keys[0].cell else "no weather"
                spent[name] = spent.get(name, 0.0) + done.seconds
            finished += len(share.keys)
            tell(finished, number)
        todo.clean()
        built.lacking = todo.lacking()
    built.crashes = pool.crashes
    built.slowest = sorted(spent.items(), key=lambda pair: -pair[1])
    if built.written or built.dropped or edition.built_at is None:
        mark_built(store, edition, book.hash, None if built.lacking else _now())
    return built


def _put(built: Built, todo: Worklist, keys: list[str], done: Done | None) -> None:
    """Keep what a share brought, or put down who is without a copy and why."""
    letters = done.letters if done else (CRASHED,) * len(keys)
    made: list[tuple[str, Letter]] = []
    for key, letter in zip(keys, letters, strict=True):
        if not isinstance(letter, str):
            made.append((key, letter))
        elif len(built.failed) < MOST_TOLD:
            built.failed += [(id, letter) for id in todo.readers_of(key, MOST_TOLD)]
    built.written += todo.put(made)
    del built.failed[MOST_TOLD:]


class _Builder:
    """Of a reader the key, and of keys the shares of work."""

    def __init__(
        self, folder: Path, edition: EditionRow, hash: str, today: dt.date, last: LastSaid
    ) -> None:
        self._folder, self._edition, self._hash, self._today = folder, edition, hash, today
        self._last = last
        self._nearest = Nearest(read_places(folder))
        first = edition.first_day.isoformat()
        words = (advisor.__version__, templates_hash(), repr(edition.editor))
        self._made_of = (hash, first, *words)

    def keys_of(self, page: Sequence[Reader]) -> list[tuple[int, LetterKey]]:
        """Readers with their keys."""
        said = self._last.of([one.id for one in page])
        cells = (self._nearest.of(one.latitude, one.longitude) for one in page)
        pairs = zip(page, cells, strict=True)
        return [(one.id, key_of(one, cell, said.get(one.id, ""))) for one, cell in pairs]

    def row(self, of: tuple[int, LetterKey]) -> Row:
        reader, key = of
        alike = sha256(repr(key.of_any_size).encode()).hexdigest()
        # Without weather the hemisphere is the place.
        place = f"{key.cell.file if key.cell else ''} {key.latitude} {key.longitude}"
        return Row(reader, key.hashed(*self._made_of), place, alike, key.area_m2 or 0.0)

    def keys(self, share: Share) -> list[str]:
        return [key.hashed(*self._made_of) for key in share.keys]

    def shares(self, todo: Worklist) -> Iterator[Share]:
        """Keys of one place together, those that differ only in size next to each other."""
        for place in todo.places():
            for page in todo.pages(place, MOST_CASES):
                if keys := tuple(key for _, key in self.keys_of(page)):
                    yield Share(
                        self._folder, keys, self._edition.first_day, self._today,
                        self._edition.editor, self._hash,
                    )  # fmt: skip


def _now() -> dt.datetime:
    return now_utc().replace(tzinfo=None, microsecond=0)
