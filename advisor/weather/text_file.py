"""From a file's bytes to rows of text cells, each with its line number."""

from __future__ import annotations

import csv
import io
from pathlib import Path

from advisor.base.problems import BadInput, Place, Problems
from advisor.base.record import Record
from advisor.weather.offences import counted, report

#: A century of daily rows with forty columns is some 10 MB, one of hourly rows some 60; more is no
#: weather record of a lawn. Read, it takes twenty times as much memory.
LIMIT_BYTES = 100_000_000
#: A century of hours has 876,600.
LIMIT_LINES = 1_000_000


class TextTable(Record, frozen=True):
    """A CSV file as text: leading comments, a header, and rows of equal length.

    `lines[i]` is the line number, from 1, of `rows[i]`.
    """

    file: str
    comments: tuple[str, ...]
    header: list[str]
    header_line: int
    rows: list[list[str]]
    lines: list[int]

    def place(self, row: int) -> Place:
        """Where a row stands."""
        return Place(self.file, self.lines[row])

    def column(self, at: int) -> list[str]:
        """The cells of one column, without surrounding blanks."""
        return [row[at].strip() for row in self.rows]


def read_text_table(path: Path, shown_as: str | None = None) -> TextTable:
    """Read a comma-separated file. Raises `BadInput`."""
    file = shown_as or str(path)
    return to_text_table(read_lines(path, file), file)


def read_lines(path: Path, file: str) -> list[str]:
    """The lines of a UTF-8 file, with their ends as `\\n`. file: its name in messages.

    Raises `BadInput` for an unreadable or oversized file, or one that is no text.
    """
    raw = _read_bytes(path, file)
    # Universal line ends: each of the two may end one.
    if (count := raw.count(b"\n") or raw.count(b"\r")) > LIMIT_LINES:
        what = f"the file has {count:,} lines, the limit is {LIMIT_LINES:,}; keep one row a day"
        raise BadInput.at(Place(file), what)
    text = _decode(raw, file)
    return io.StringIO(text, newline=None).readlines()


def to_text_table(
    source: list[str], file: str, separator: str = ",", skip_rows: int = 0
) -> TextTable:
    """Split lines into cells. skip_rows: lines above the header that are passed over.

    Lines that start with `#` may stand above the header and are kept as comments; blank lines are
    skipped. Raises `BadInput` for an empty or misshapen file.
    """
    if source and skip_rows >= len(source):
        what = f"skip_rows is {skip_rows}, but the file has {counted(len(source), 'line')}"
        raise BadInput.at(Place(file), f"{what}; say how many lines stand above the header")
    comments = []
    at = skip_rows if source else 0
    while at < len(source) and (source[at].startswith("#") or not source[at].strip()):
        if source[at].startswith("#"):
            comments.append(source[at].lstrip("#").strip())
        at += 1
    if at == len(source):
        what = "the file is empty; wanted a header row and one row a day"
        raise BadInput.at(Place(file, 1), what)
    header = _split_header(source[at], Place(file, at + 1), separator)
    rows, lines = _split_rows(source, at + 1, file, separator)
    if not rows:
        what = "only a header, no days; add one row a day, such as '2026-06-21,85,61,0.2'"
        raise BadInput.at(Place(file, at + 1), what)
    _check_shape(rows, lines, len(header), file, separator)
    return TextTable(file, tuple(comments), header, at + 1, rows, lines)


def _read_bytes(path: Path, file: str) -> bytes:
    try:
        size = path.stat().st_size
        if size > LIMIT_BYTES:
            what = (
                f"the file has {size / 1e6:,.0f} MB, the limit is {LIMIT_BYTES / 1e6:,.0f} MB; "
                "keep one row a day"
            )
            raise BadInput.at(Place(file), what)
        return path.read_bytes()
    except FileNotFoundError:
        raise BadInput.at(Place(file), "no such file") from None
    except OSError as error:
        raise BadInput.at(Place(file), f"cannot be read: {error.strerror}") from None


def _decode(raw: bytes, file: str) -> str:
    nul = raw.find(b"\0")
    if nul >= 0:
        line = raw.count(b"\n", 0, nul) + 1
        what = "byte 0x00: not a text file (a spreadsheet, or UTF-16?); save it as CSV in UTF-8"
        raise BadInput.at(Place(file, line), what)
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        what = f"byte 0x{raw[error.start]:02x} is not UTF-8 text; save the file as UTF-8"
        raise BadInput.at(Place(file, line), what) from None


def _split_header(line: str, place: Place, separator: str) -> list[str]:
    cells = [cell.strip() for cell in next(csv.reader([line], delimiter=separator))]
    if len(cells) == 1 and separator == ",":
        for mark, name in ((";", "semicolons"), ("\t", "tabs"), ("|", "bars")):
            if mark in line:
                what = (
                    f"the columns are divided by {name}; save the file with commas, or describe "
                    "it in site.yaml under weather_columns"
                )
                raise BadInput.at(place, what)
    return cells


def _split_rows(
    source: list[str], start: int, file: str, separator: str
) -> tuple[list[list[str]], list[int]]:
    reader = csv.reader(io.StringIO("".join(source[start:])), delimiter=separator)
    rows: list[list[str]] = []
    lines: list[int] = []
    before = 0
    try:
        for row in reader:
            if reader.line_num - before > 1:
                what = "a quoted cell runs over several lines; close the quote on its own line"
                raise BadInput.at(Place(file, start + before + 1), what)
            before = reader.line_num
            if row and any(cell and not cell.isspace() for cell in row):
                rows.append(row)
                lines.append(start + before)
    except csv.Error as error:
        raise BadInput.at(Place(file, start + before + 1), f"not CSV: {error}") from None
    return rows, lines


def _check_shape(
    rows: list[list[str]], lines: list[int], wanted: int, file: str, separator: str
) -> None:
    problems = Problems()

    def say(at: int) -> str:
        found = len(rows[at])
        comma = found > wanted and separator == ","
        hint = "; write decimals with a point, not a comma" if comma else ""
        return f"{found} cells, but the header has {wanted}{hint}"

    wrong = [at for at, row in enumerate(rows) if len(row) != wanted]
    report(problems, lambda at: Place(file, lines[at]), wrong, say, "rows of the wrong length")
    problems.raise_if_any()
