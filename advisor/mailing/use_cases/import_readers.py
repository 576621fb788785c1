"""A list's CSV file to readers in the store, with a report of every row that was refused."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import count, islice
from pathlib import Path
from typing import BinaryIO

from advisor.base.problems import BadInput, Place
from advisor.mailing.readers.read_row import Refusal, read_header, read_row
from advisor.mailing.readers.reader import Reader
from advisor.mailing.store.reader_tables import PAGE, Suppressed, put_readers, suppressed
from advisor.mailing.store.readmission import readmit_by_consent
from advisor.mailing.store.store import Store
from advisor.mailing.use_cases.seen_lines import SeenLines, seen_lines
from advisor.rulebook.model import RuleBook

LARGEST_BYTES = 500_000_000
LONGEST_LINE = 50_000


@dataclass
class Imported:
    """rows: all that are not blank. Each was added, changed, as before, or refused.

    refused: each refusal, unless they were told as they were found. readmitted: of those taken
    over, who had been off the list and agreed anew since.
    """

    rows: int = 0
    added: int = 0
    changed: int = 0
    unchanged: int = 0
    refused_rows: int = 0
    refused: tuple[Refusal, ...] = ()
    readmitted: int = 0


def import_readers(
    file: Path,
    store: Store,
    book: RuleBook,
    today: dt.date,
    tell: Callable[[Refusal], None] | None = None,
) -> Imported:
    """Read all rows, put the good ones into the store, and report the others.

    Rows are read and written some at a time; an import that was stopped is begun anew, and what is
    in the store already is then as before. tell: is given each refusal, in the order of lines; left
    out, they are kept. Raises `BadInput` if the file as a whole is of no use; then nothing is
    changed.
    """
    done, kept = Imported(), list[Refusal]()
    with seen_lines(store) as seen:
        lines = _rows(file, book)
        while rows := list(islice(lines, PAGE)):
            refused: list[Refusal] = []
            found: list[tuple[int, Reader]] = []
            for line, row in rows:
                if isinstance(row, Refusal):
                    refused.append(row)
                    continue
                reader, wrong = read_row(row, line, book, today)
                refused += wrong
                if reader is not None:
                    found.append((line, reader))
            good, again, back = _new_ones(found, store, seen)
            readmit_by_consent(store, back, today)
            done.readmitted += len(back)
            refused = sorted((*refused, *again), key=lambda refusal: refusal.line)
            done.rows += len(rows)
            done.refused_rows += len({refusal.line for refusal in refused})
            added, changed, unchanged = put_readers(store, good, today)
            done.added += added
            done.changed += changed
            done.unchanged += unchanged
            for refusal in refused:
                (tell or kept.append)(refusal)
    done.refused = tuple(kept)
    return done


def _new_ones(
    found: list[tuple[int, Reader]], store: Store, seen: SeenLines
) -> tuple[list[Reader], list[Refusal], list[str]]:
    """Those who may be on the list and stand on no line before; why the others may not; and the
    addresses of those who were taken off the list and agreed on a later day."""
    gone = suppressed(store, [reader.address for _, reader in found])

    def keeps_off(reader: Reader) -> Suppressed | None:
        left = gone.get(reader.address)
        return left if left and reader.permission_on <= left.on else None

    may = [(reader.address, line) for line, reader in found if not keeps_off(reader)]
    first = seen.first_lines(may)
    good, refused = [], []
    for line, reader in found:
        if left := keeps_off(reader):
            why = (
                f"was taken off the list on {left.on} ({left.reason}); only consent given after "
                "that day brings a reader back"
            )
        elif (before := first[reader.key]) != line:
            why = f"stands on line {before} already; keep one"
        else:
            good.append(reader)
            continue
        refused.append(Refusal(line, "address", reader.address, why))
    back = [reader.address for reader in good if reader.address in gone]
    return good, refused, back


def _rows(file: Path, book: RuleBook) -> Iterator[tuple[int, dict[str, str] | Refusal]]:
    """Each line that is not blank. One row is one line, so an open quote spoils only its own."""
    try:
        if file.stat().st_size > LARGEST_BYTES:
            raise BadInput.at(Place(str(file)), "is larger than 500 MB; split it")
        with file.open("rb") as raw:
            head = _cells(_line(raw).removeprefix(b"\xef\xbb\xbf").removesuffix(b"\n"), 1)
            if isinstance(head, Refusal):
                raise BadInput.at(Place(str(file), 1), head.why)
            names = read_header(head, str(file), book)
            for line in count(2):
                written = _line(raw)
                if not written:
                    return
                if written.strip():
                    yield line, _row(written, line, names)
    except OSError as error:
        raise BadInput.at(Place(str(file)), f"cannot be read: {error.strerror}") from None


def _line(raw: BinaryIO) -> bytes:
    """The next line; of one that is far too long only the beginning."""
    begin = rest = raw.readline(LONGEST_LINE)
    while rest and not rest.endswith(b"\n"):
        rest = raw.readline(LONGEST_LINE)
    return begin


def _row(written: bytes, line: int, names: list[str]) -> dict[str, str] | Refusal:
    if len(written) == LONGEST_LINE:
        return Refusal(line, "row", "", f"is longer than {LONGEST_LINE:,} bytes")
    cells = _cells(written.removesuffix(b"\n"), line)
    if isinstance(cells, Refusal):
        return cells
    if len(cells) != len(names):
        why = f"has {len(cells)} cells; wanted {len(names)}, as the header has"
        return Refusal(line, "row", "", why)
    return dict(zip(names, cells, strict=True))


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
