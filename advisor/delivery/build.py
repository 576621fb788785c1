"""Building an edition: every reader's digest, each distinct one composed once, all frozen."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import groupby
from pathlib import Path

import advisor
from advisor.base.dates import now_utc
from advisor.delivery.case import Case, case_of
from advisor.delivery.edition_tables import (
    EditionRow,
    copy_keys,
    drop_copies,
    mark_built,
    open_edition,
    put_copies,
)
from advisor.delivery.letter import Letter
from advisor.delivery.pool import SharedWork
from advisor.delivery.reader_tables import all_readers
from advisor.delivery.share import Done, Share, compose_share, split
from advisor.delivery.store import Store
from advisor.delivery.weather_places import nearest_cell, read_places
from advisor.digest.render import templates_hash
from advisor.rulebook.model import RuleBook

MOST_CASES = 100
"""In a share: enough that reading a cell's weather weighs little, few enough to be retried."""
Tell = Callable[[int, int], None]


@dataclass
class Built:
    """What a build did. decided: sets of decisions made. slowest: seconds by cell, longest first.

    failed: readers without a copy (id, why). state: of the edition; only a draft is built.
    """

    edition: EditionRow
    readers: int
    cases: int = 0
    written: int = 0
    dropped: int = 0
    decided: int = 0
    crashes: int = 0
    seconds: float = 0.0
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
) -> Built:
    """Compose and freeze a copy for every reader of a list who may be written to.

    What is there already and unchanged is left alone, so that a build can be stopped and resumed,
    and a second one changes nothing. tell: called with the cases done and of how many.
    Raises `BadInput` if the list's weather cannot be read.
    """
    first = week_of(day)
    edition = open_edition(store, folder.resolve().name, first, book.hash)
    readers = all_readers(store)
    built = Built(edition, len(readers))
    if edition.state != "draft":
        return built
    cells = read_places(folder)
    for_case: dict[Case, list[int]] = {}
    for one in readers:
        cell = nearest_cell(cells, one.latitude, one.longitude)
        for_case.setdefault(case_of(one, cell), []).append(one.id)
    words = (advisor.__version__, templates_hash())
    made_of = (book.hash, first.isoformat(), *words, repr(edition.editor))
    keys = {case: case.key(*made_of) for case in for_case}
    have = copy_keys(store, edition.id)
    left = have.keys() - {one.id for one in readers}
    built.dropped = drop_copies(store, edition.id, left)
    missing = {
        case: [id for id in ids if have.get(id) != keys[case]] for case, ids in for_case.items()
    }
    todo = [case for case, ids in missing.items() if ids]
    built.cases = len(for_case)
    spent: dict[str, float] = {}
    shares = _shares(folder, todo, first, today, edition, book.hash)
    pool = SharedWork(work, split, workers)
    finished = 0
    for share, done in pool.run(shares):
        letters: tuple[Letter | str, ...] = (
            done.letters if done else ("the process that worked on it crashed",)
        )
        rows: list[tuple[int, str, Letter]] = []
        for case, letter in zip(share.cases, letters, strict=True):
            if isinstance(letter, str):
                built.failed += [(id, letter) for id in missing[case]]
            else:
                rows += [(id, keys[case], letter) for id in missing[case]]
        built.written += put_copies(store, edition.id, rows)
        if done:
            built.decided += done.decided
            built.seconds += done.seconds
            cell = share.cases[0].cell
            name = cell.name if cell else "no weather"
            spent[name] = spent.get(name, 0.0) + done.seconds
        finished += len(share.cases)
        tell(finished, len(todo))
    built.crashes = pool.crashes
    built.slowest = sorted(spent.items(), key=lambda pair: -pair[1])
    if built.written or built.dropped or edition.built_at is None:
        mark_built(store, edition, book.hash, None if built.failed else _now())
    return built


def _shares(
    folder: Path, cases: list[Case], first: dt.date, today: dt.date, edition: EditionRow, hash: str
) -> Iterator[Share]:
    """Cases of one cell together, those that differ only in size next to each other."""
    order = {case: (str(case.cell), repr(case.of_any_size), case.area_m2) for case in cases}
    cases = sorted(cases, key=order.__getitem__)
    for _, same in groupby(cases, key=lambda case: case.cell):
        of_cell = tuple(same)
        for start in range(0, len(of_cell), MOST_CASES):
            some = of_cell[start : start + MOST_CASES]
            yield Share(folder, some, first, today, edition.editor, hash)


def _now() -> dt.datetime:
    return now_utc().replace(tzinfo=None, microsecond=0)
