"""A list's CSV file to readers in the store, with a report of every row that was refused."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from advisor.base.problems import BadInput, Place
from advisor.delivery.read_row import Refusal, read_header, read_row
from advisor.delivery.reader import Reader
from advisor.delivery.reader_tables import put_readers, suppressions
from advisor.delivery.store import Store
from advisor.rulebook.model import RuleBook

LARGEST_BYTES = 500_000_000


@dataclass(frozen=True)
class Imported:
    """rows: all that are not blank. Each was added, changed, as before, or refused."""

    rows: int
    added: int
    changed: int
    unchanged: int
    refused: tuple[Refusal, ...]

    @property
    def refused_rows(self) -> int:
        return len({refusal.line for refusal in self.refused})


def import_readers(file: Path, store: Store, book: RuleBook, today: dt.date) -> Imported:
    """Read all rows, put the good ones into the store, and report the others.

    Raises `BadInput` if the file as a whole is of no use; then nothing is changed.
    """
    readers: dict[str, tuple[int, Reader]] = {}
    refused: list[Refusal] = []
    gone = suppressions(store)
    rows = 0
    for line, found in _rows(file, book):
        rows += 1
        if isinstance(found, Refusal):
            refused.append(found)
            continue
        reader, wrong = read_row(found, line, book, today)
        refused += wrong
        if reader is None:
            continue
        if left := gone.of(reader.address):
            why = f"was taken off the list on {left.on} ({left.reason}); no import can undo that"
            refused.append(Refusal(line, "address", reader.address, why))
        elif reader.key in readers:
            why = f"stands on line {readers[reader.key][0]} already; keep one"
            refused.append(Refusal(line, "address", reader.address, why))
        else:
            readers[reader.key] = (line, reader)
    counts = put_readers(store, [reader for _, reader in readers.values()], today)
    return Imported(rows, *counts, tuple(refused))


def _rows(file: Path, book: RuleBook) -> Iterator[tuple[int, dict[str, str] | Refusal]]:
    """Each line that is not blank. One row is one line, so an open quote spoils only its own."""
    try:
        if file.stat().st_size > LARGEST_BYTES:
            raise BadInput.at(Place(str(file)), "is larger than 500 MB; split it")
        raw = file.read_bytes()
    except OSError as error:
        raise BadInput.at(Place(str(file)), f"cannot be read: {error.strerror}") from None
    lines = raw.removeprefix(b"\xef\xbb\xbf").split(b"\n")
    head = _cells(lines[0], 1)
    if isinstance(head, Refusal):
        raise BadInput.at(Place(str(file), 1), head.why)
    names = read_header(head, str(file), book)
    for line, written in enumerate(lines[1:], 2):
        if not written.strip():
            continue
        cells = _cells(written, line)
        if isinstance(cells, Refusal):
            yield line, cells
        elif len(cells) != len(names):
            why = f"has {len(cells)} cells; wanted {len(names)}, as the header has"
            yield line, Refusal(line, "row", "", why)
        else:
            yield line, dict(zip(names, cells, strict=True))


def _cells(raw: bytes, line: int) -> list[str] | Refusal:
    try:
        text = raw.removesuffix(b"\r").decode("utf-8")
        found = list(csv.reader([text], strict=True)) if "\r" not in text else []
    except UnicodeDecodeError:
        return Refusal(line, "row", "", "is not UTF-8 text; save the file as CSV in UTF-8")
    except csv.Error as error:
        return Refusal(line, "row", "", f"is no CSV ({error}); close its quotes")
    if len(found) != 1:
        return Refusal(line, "row", "", "holds a carriage return; remove it")
    return found[0]
