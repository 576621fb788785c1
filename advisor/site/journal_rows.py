"""From the bytes of journal.csv to rows of seven cells.

One record is one line: a quoted cell may hold commas and doubled quotes, but no line break. So a
quote that is not closed spoils one line, not the rest of the file.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from pathlib import Path

from advisor.base.problems import BadInput, Place, Problems, did_you_mean
from advisor.base.record import Record
from advisor.site.entry import COLUMNS, HEADER

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
