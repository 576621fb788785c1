"""A site's records in time, as known on a day, and how journal.csv is read.

One record is one line: a quoted cell may hold commas and doubled quotes, but no line break. So a
quote that is not closed spoils one line, not the rest of the file.
"""

from __future__ import annotations

import csv
import datetime as dt
import re
from collections.abc import Iterator, Mapping
from functools import cached_property
from pathlib import Path

from advisor.base.problems import BadInput, Place, Problems, did_you_mean
from advisor.base.record import Record
from advisor.records.entry import COLUMNS, HEADER, Entry, FactRule, JournalRules, Kind, check_cells


class Journal(Record, frozen=True, dict=True):
    """All entries of a journal, in the order of the file."""

    entries: tuple[Entry, ...] = ()

    def as_of(self, day: dt.date) -> Journal:
        """The journal as it stood on a day: later records are hidden, undone ones are gone.

        An undo counts from its own date on.
        """
        return Journal(Journal(tuple(e for e in self.entries if e.date <= day)).standing)

    @cached_property
    def standing(self) -> tuple[Entry, ...]:
        """The entries that were not undone, by date, those of one day in the order of the file."""
        gone = {e.what for e in self.entries if e.kind == "undo"}
        kept = (e for e in self.entries if e.kind != "undo" and e.id not in gone)
        return tuple(sorted(kept, key=lambda e: e.date))

    def observations(self, what: str, area: str | None = None) -> tuple[Entry, ...]:
        """The observations of a fact, oldest first."""
        return tuple(self._of("observation", what, area))

    def latest(self, what: str, area: str | None = None) -> Entry | None:
        """The last observation of a fact, or None."""
        return _last(self._of("observation", what, area))

    def work(
        self, operation: str, area: str | None = None, since: dt.date | None = None
    ) -> tuple[Entry, ...]:
        """The times an operation was done, from a day on, oldest first."""
        return tuple(e for e in self._of("work", operation, area) if not since or e.date >= since)

    def last_done(self, operation: str, area: str | None = None) -> Entry | None:
        """The last time an operation was done, or None if never recorded."""
        return _last(self._of("work", operation, area))

    def wishes(self, area: str | None = None, since: dt.date | None = None) -> dict[str, Entry]:
        """The last wish for each operation recorded from a day on; its value says yes or no."""
        return {
            e.what: e
            for e in self.standing
            if e.kind == "wish" and _about(e, area) and (not since or e.date >= since)
        }

    def _of(self, kind: Kind, what: str, area: str | None) -> Iterator[Entry]:
        return (e for e in self.standing if e.kind == kind and e.what == what and _about(e, area))


def _about(entry: Entry, area: str | None) -> bool:
    """Whether an entry speaks of an area: it names it, or the whole lawn. Area None: any entry."""
    return area is None or entry.area in ("", area)


def _last(entries: Iterator[Entry]) -> Entry | None:
    return next(reversed(tuple(entries)), None)


LARGEST_BYTES = 20_000_000
MOST_LINES = 200_000
_UTF16 = (b"\xff\xfe", b"\xfe\xff")
_CONTROL = re.compile(r"[\x00-\x08\x0b-\x1f\x7f]")


class Row(Record, frozen=True):
    """The seven cells of one line, stripped of surrounding blanks."""

    line: int
    cells: tuple[str, ...]


def read_bytes(path: Path) -> bytes:
    """The bytes of the journal. Raises `BadInput` if it cannot be read or is far too large."""
    file = Place(str(path))
    try:
        size = path.stat().st_size
        if size > LARGEST_BYTES:
            what = (
                f"{size / 1e6:.0f} MB is too large for a journal (at most 20 MB); is this the file?"
            )
            raise BadInput.at(file, what)
        return path.read_bytes()
    except OSError as error:
        raise BadInput.at(file, f"cannot be read: {error.strerror or error}") from None


def read_rows(raw: bytes, file: str, problems: Problems) -> Iterator[Row]:
    """The rows after the header; blank lines are passed over, broken ones told to `problems`.

    Raises `BadInput` if the file as a whole is not a journal: no text, or a wrong header.
    """
    if raw.startswith(_UTF16):
        what = "the file is UTF-16 text; save it as CSV in UTF-8"
        raise BadInput.at(Place(file, 1), what)
    if (count := raw.count(b"\n")) > MOST_LINES:
        what = (
            f"{count:,} lines are too many for a journal (at most {MOST_LINES:,}, five a day for a "
            "century); is this the file?"
        )
        raise BadInput.at(Place(file), what)
    lines = raw.removeprefix(b"\xef\xbb\xbf").split(b"\n")
    check_header(lines[0], file)
    for number, line in enumerate(lines[1:], 2):
        cells = _cells(line, Place(file, number), problems)
        if not any(cells):
            continue
        if len(cells) != len(COLUMNS):
            problems.add(Place(file, number), _wrong_count(len(cells)))
            continue
        yield Row(number, cells)


def check_header(line: bytes, file: str) -> None:
    """Raises `BadInput` unless the first line names our columns in our order."""
    place = Place(file, 1)
    problems = Problems()
    found = _cells(line, place, problems)
    problems.raise_if_any()
    if found == COLUMNS:
        return
    if not any(found):
        raise BadInput.at(place, f"the first line is empty; it must be '{HEADER}'")
    for separator, said in ((";", "semicolons"), ("\t", "tabs")):
        if separator in found[0]:
            raise BadInput.at(place, f"columns are separated by {said}; save the file with commas")
    missing = [column for column in COLUMNS if column not in found]
    if missing == list(COLUMNS):
        raise BadInput.at(place, f"the header is missing; the first line must be '{HEADER}'")
    for name in found:
        if name not in COLUMNS:
            hint = did_you_mean(name, missing)
            missing = [column for column in missing if f"'{column}'" not in hint]
            problems.add(place, f"unknown column '{name}'{hint}")
    for name in missing:
        problems.add(place, f"column '{name}' is missing; the first line must be '{HEADER}'")
    problems.raise_if_any()
    what = f"the columns stand as '{','.join(found)}'; the first line must be '{HEADER}'"
    raise BadInput.at(place, what)


def _cells(line: bytes, place: Place, problems: Problems) -> tuple[str, ...]:
    """The stripped cells of a line; none of them if it is blank or broken."""
    try:
        text = line.removesuffix(b"\r").decode("utf-8")
    except UnicodeDecodeError as error:
        what = f"byte 0x{line[error.start]:02x} is not UTF-8 text; save the file as UTF-8"
        problems.add(place, what)
        return ()
    control = _CONTROL.search(text)
    if control:
        at = Place(place.file, place.line, control.start() + 1)
        problems.add(at, f"control character 0x{ord(control[0]):02x}; remove it")
        return ()
    try:
        (cells,) = csv.reader([text], strict=True)
    except csv.Error as error:
        problems.add(place, _csv_fault(str(error)))
        return ()
    return tuple(cell.strip() for cell in cells)


def _csv_fault(said: str) -> str:
    if "unexpected end" in said:
        return 'a quote (") is not closed on this line; a record takes one line, close or remove it'
    if "expected after" in said:
        return 'text follows a closing quote ("); double a quote inside a quoted cell ("")'
    return f"cannot be read as CSV: {said}"


def _wrong_count(count: int) -> str:
    if count < len(COLUMNS):
        return f"{count} cells; wanted {len(COLUMNS)}: {HEADER}"
    return f'{count} cells; wanted {len(COLUMNS)}: put a text that holds a comma in quotes (")'


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
