"""From text cells to dates and numbers, fast when all is well, exact when something is not."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection

import numpy as np

from advisor.base.problems import Problems
from advisor.base.record import Record
from advisor.weather.columns import Column
from advisor.weather.offences import Where, report
from advisor.weather.table import Days, Values

_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_SLASHED = re.compile(r"([0-9]{1,2})[/.]([0-9]{1,2})[/.]([0-9]{4})\Z")
_NUMBER = re.compile(r"[-+]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?\Z")
_DECIMAL_COMMA = re.compile(r"[-+]?[0-9]+,[0-9]+\Z")
_NOTHING = frozenset({"", "m", "na", "n/a", "nan", "null", "none", "-", "--", "missing"})
_TRACE = frozenset({"t", "tr", "trace"})
#: Numbers that archives write for "missing". None can be a temperature or an amount of rain.
_CODES = (-9999.0, 9999.0, -999.0, -999.9, -99.0, -99.9)
_TRACED = frozenset({"rain_mm", "snow_depth_mm"})
#: Regular daily thermometer records are younger than this year in nearly all places.
OLDEST = dt.date(1850, 1, 1)


class Numbers(Record, frozen=True):
    """values: as written in the file, NaN = unknown; traces: cells read as zero."""

    values: Values
    traces: int


def read_dates(cells: list[str], where: Where, today: dt.date, problems: Problems) -> Days:
    """ISO dates, none older than `OLDEST` or later than `today`; NaT where one is wrong."""
    days = _fast_dates(cells)
    if days is None:
        troubles = {
            at: trouble for at, cell in enumerate(cells) if (trouble := _date_trouble(cell))
        }
        report(problems, where, list(troubles), troubles.__getitem__, "wrong dates")
        right = ["NaT" if at in troubles else cell for at, cell in enumerate(cells)]
        days = np.array(right, dtype="datetime64[D]")
    return within_time(days, cells, where, today, problems)


def within_time(
    days: Days, cells: list[str], where: Where, today: dt.date, problems: Problems
) -> Days:
    """The days, NaT for those after `today` or before `OLDEST`, which are reported."""
    late, old = days > np.datetime64(today), days < np.datetime64(OLDEST)
    report(
        problems, where, np.flatnonzero(late).tolist(),
        lambda at: f"{cells[at]} lies in the future (today is {today}); "
        "keep only days that have been observed", "days in the future",
    )  # fmt: skip
    report(
        problems, where, np.flatnonzero(old).tolist(),
        lambda at: f"{cells[at]} is before {OLDEST.year}; is the year mistyped?", "early dates",
    )  # fmt: skip
    return np.where(late | old, np.datetime64("NaT", "D"), days)


def read_numbers(
    cells: list[str],
    title: str,
    column: Column,
    where: Where,
    problems: Problems,
    missing: Collection[str] = (),
    decimal: str = ".",
) -> Numbers:
    """Numbers of one column. Blank cells and the usual codes for missing values become NaN.

    missing: further codes of this file. decimal: its decimal mark, a point or a comma.
    """
    traces = 0
    written = cells
    if missing:
        cells = ["" if cell in missing else cell for cell in cells]
    if decimal == ",":
        cells = [_with_point(cell) for cell in cells]
    try:
        values = np.array([float(cell or "nan") for cell in cells])
        plain = np.isfinite(values).all() and "_" not in "".join(cells)
    except ValueError:
        plain = False
    if not plain:
        values = np.full(len(cells), np.nan)
        wrong = []
        for at, cell in enumerate(cells):
            if _NUMBER.match(cell):
                values[at] = float(cell)
            elif cell.casefold() in _TRACE and column.name in _TRACED:
                values[at] = 0.0
                traces += 1
            elif cell.casefold() not in _NOTHING:
                wrong.append(at)
        report(
            problems, where, wrong,
            lambda at: _number_trouble(written[at], title, decimal),
            f"cells of '{title}' that are no numbers",
        )  # fmt: skip
    values[np.isin(values, _CODES)] = np.nan
    return Numbers(values, traces)


def _fast_dates(cells: list[str]) -> Days | None:
    if not all(map(_ISO.match, cells)):
        return None
    try:
        return np.array(cells, dtype="datetime64[D]")
    except ValueError:
        return None


def _date_trouble(cell: str) -> str:
    """What is wrong with a date, or an empty string."""
    if _ISO.match(cell):
        try:
            dt.date.fromisoformat(cell)
        except ValueError:
            return f"'{cell}' is no date of the calendar"
        return ""
    if not cell:
        return "the date is missing; write it as YYYY-MM-DD"
    if match := _SLASHED.match(cell):
        a, b, year = (int(part) for part in match.groups())
        if max(a, b) > 12 >= min(a, b):
            month, day = min(a, b), max(a, b)
            return f"'{cell}' is not an ISO date; write {year}-{month:02}-{day:02}"
        return (
            f"'{cell}' is not an ISO date and may be read two ways; "
            "write year-month-day, as in 2026-06-21"
        )
    if re.match(r"[0-9]{4}-[0-9]{2}-[0-9]{2}[T ]", cell):
        return f"'{cell}' has a time of day; write {cell[:10]} alone, one row a day"
    return f"'{cell}' is not a date; write it as YYYY-MM-DD, such as 2026-06-21"


def _with_point(cell: str) -> str:
    """A number with a decimal comma, written with a point; one with a point becomes no number."""
    return cell.replace(".", "'").replace(",", ".")


def _number_trouble(cell: str, title: str, decimal: str) -> str:
    if decimal == "," and _NUMBER.match(cell):
        return f"{title}: '{cell}' has a decimal point, but this file has decimal commas"
    if _DECIMAL_COMMA.match(cell):
        point = cell.replace(",", ".")
        return f"{title}: '{cell}' has a decimal comma; write {point}"
    if cell.casefold() in _TRACE:
        return f"{title}: '{cell}' (trace) means nothing here; leave the cell empty"
    return f"{title}: '{cell}' is not a number; leave the cell empty if it is unknown"
