"""Writing to journal.csv: only ever at its end, one process at a time.

The lock is a file of its own beside the journal, because editors and cloud folders replace the
journal rather than write into it, which would leave a lock on the journal behind.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import os
import re
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path

from advisor.base.files import clear_leftovers, sync_folder
from advisor.base.problems import BadInput, Place, Problems, did_you_mean
from advisor.records.entry import HEADER, NewEntry
from advisor.records.journal import check_header, read_bytes, read_rows

LONGEST_WAIT_SECONDS = 20
_POLL_SECONDS = 0.002
_OUR_ID = re.compile(rb'^"?r([0-9]{1,15})"?,', re.MULTILINE)
_NOT_IN_A_CELL = re.compile(r"[\x00-\x1f\x7f]+")


def append(path: Path, entries: Iterable[NewEntry]) -> tuple[str, ...]:
    """Write records at the end of the journal and return their ids, `r1`, `r2` and so on.

    Makes the file, with its header, if there is none, and ends a last line that was left open.
    Bytes that are there stay as they are. Raises `BadInput` if the file is no journal, cannot be
    written, or stays locked by another process.
    """
    with _locked(path) as raw:
        return _write(path, raw, entries)


def undo(path: Path, record: str, today: dt.date, note: str = "") -> str:
    """Write that a record does not count, and return the id of that line.

    Raises `BadInput` if there is no such record, if it is an undo itself or undone already.
    """
    with _locked(path) as raw:
        kinds: dict[str, str] = {}
        undone: set[str] = set()
        for row in read_rows(raw, str(path), Problems()) if raw else ():
            id_, _, kind, what, *_ = row.cells
            kinds[id_] = kind
            if kind == "undo":
                undone.add(what)
        if record not in kinds:
            hint = did_you_mean(record, kinds)
            raise BadInput.at(Place(str(path)), f"no record has the id '{record}'{hint}")
        if kinds[record] == "undo":
            what = f"'{record}' is an undo itself and cannot be undone; write the record again"
            raise BadInput.at(Place(str(path)), what)
        if record in undone:
            raise BadInput.at(Place(str(path)), f"'{record}' is undone already")
        return _write(path, raw, [NewEntry(today, "undo", record, note=note)])[0]


@contextmanager
def _locked(path: Path) -> Iterator[bytes]:
    """Hold the journal's lock; yields the bytes that the journal holds now."""
    from filelock import FileLock, Timeout  # here, because only writing needs it

    if not path.parent.is_dir():  # the lock would make it
        raise BadInput.at(Place(str(path)), f"cannot be written: no folder {path.parent}")
    lock = FileLock(path.with_name(f".{path.name}.lock"))
    try:
        with lock.acquire(timeout=LONGEST_WAIT_SECONDS, poll_interval=_POLL_SECONDS):
            clear_leftovers(path)
            yield read_bytes(path) if path.exists() else b""
    except Timeout:
        what = f"another program has been writing to it for {LONGEST_WAIT_SECONDS} s; try again"
        raise BadInput.at(Place(str(path)), what) from None
    except OSError as error:
        raise BadInput.at(
            Place(str(path)), f"cannot be written: {error.strerror or error}"
        ) from None


def _write(path: Path, raw: bytes, entries: Iterable[NewEntry]) -> tuple[str, ...]:
    if raw:
        check_header(raw.removeprefix(b"\xef\xbb\xbf").split(b"\n", 1)[0], str(path))
        start = "" if raw.endswith(b"\n") else "\n"
    else:
        start = f"{HEADER}\n"
    last = max((int(number) for number in _OUR_ID.findall(raw)), default=0)
    text = io.StringIO(start)
    text.seek(0, io.SEEK_END)
    writer = csv.writer(text, lineterminator="\n")
    ids = []
    for number, entry in enumerate(entries, last + 1):
        ids.append(f"r{number}")
        writer.writerow([ids[-1], entry.date.isoformat(), entry.kind, *as_written(entry)])
    if ids:
        _put(path, text.getvalue().encode("utf-8"))
    return tuple(ids)


def _put(path: Path, payload: bytes) -> None:
    """One write at the end of the file, on disk when this returns; all of it or nothing."""
    with path.open("ab", buffering=0) as file:
        before = file.tell()
        try:
            if file.write(payload) != len(payload):
                raise OSError(None, "the disk took only a part of the record")
            os.fsync(file.fileno())
            if not before:
                sync_folder(path.parent)
        except OSError:
            file.truncate(before)
            raise


def as_written(entry: NewEntry) -> tuple[str, ...]:
    """What is done, its value, its area and the note, as they stand in the file."""
    return tuple(map(_cell, (entry.what, entry.value, entry.area, entry.note)))


def _cell(text: str) -> str:
    """The text on one line."""
    return _NOT_IN_A_CELL.sub(" ", text).strip()
