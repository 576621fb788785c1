"""From journal.csv to a checked `Journal`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

from advisor.base.problems import Place, Problems, did_you_mean
from advisor.site.entry import Entry, FactRule, JournalRules
from advisor.site.entry_checks import check_cells
from advisor.site.journal import Journal
from advisor.site.journal_rows import read_bytes, read_rows

_MOST_IDS = 500
"""Among so many of the latest records the one is looked for that may be meant."""


def read_journal(
    path: Path,
    vocabulary: Mapping[str, FactRule],
    operations: frozenset[str],
    today: dt.date,
    areas: frozenset[str] | None = None,
) -> Journal:
    """The journal of a site; empty if there is no such file.

    today: records after it are refused. areas: the site's areas (None: any name passes).
    Raises `BadInput` with every problem found.
    """
    if not path.exists():
        return Journal()
    rules = JournalRules(vocabulary, operations, today, areas)
    file = str(path)
    problems = Problems()
    entries = [
        check_cells(row.cells, Place(file, row.line), rules, problems)
        for row in read_rows(read_bytes(path), file, problems)
    ]
    _check_ids(entries, file, problems)
    problems.raise_if_any()
    return Journal(tuple(entries))


def _check_ids(entries: list[Entry], file: str, problems: Problems) -> None:
    """Ids are unique, and an undo names an earlier record that is no undo itself."""
    seen: dict[str, Entry] = {}
    for entry in entries:
        first = seen.setdefault(entry.id, entry)
        if first is not entry:
            what = f"column 1 (id): '{entry.id}' stands twice (first on line {first.line}); "
            problems.add(Place(file, entry.line), f"{what}give this record an id of its own")
        if entry.kind != "undo":
            continue
        target = seen.get(entry.what)
        if target is None or target is entry:
            near = [id_ for id_ in seen if id_ != entry.id][-_MOST_IDS:]
            hint = did_you_mean(entry.what, near)
            what = f"column 4 (what): no earlier record has the id '{entry.what}'{hint}"
            problems.add(Place(file, entry.line), what)
        elif target.kind == "undo":
            what = f"column 4 (what): '{entry.what}' is an undo itself and cannot be undone; "
            problems.add(Place(file, entry.line), f"{what}write the record again")
