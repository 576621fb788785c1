"""From the rows of one or several files to consecutive days, each once; missing days unknown."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import Place, Problems
from advisor.weather.checks import DailyRows, check_values
from advisor.weather.offences import Where, counted, report
from advisor.weather.reading import Reading
from advisor.weather.table import Days, Source, Values, WeatherTable

Positions = NDArray[np.intp]
#: Height in m at which wind is taken to be measured unless a file says otherwise.
WIND_HEIGHT_M = 2.0


def to_table(readings: Sequence[Reading], problems: Problems, file: str) -> WeatherTable:
    """Check the rows of each file, lay all of them out, and make the table.

    file: what the whole record is called. Rows without a date (NaT), already reported, are left
    out. Raises `BadInput` with everything in `problems` and everything found here.
    """
    parts = [r.rows.only(np.flatnonzero(~np.isnat(r.rows.days))) for r in readings]
    if not all(len(part.days) for part in parts):
        problems.raise_if_any()
    _check_one_place(readings, problems)
    odd = [note for part in parts for note in check_values(part, problems)]
    days, columns, settled = lay_out(parts, problems)
    problems.raise_if_any()
    read = [note for reading in readings for note in reading.notes]
    first = readings[0].source
    return WeatherTable(
        days, columns, Source(file, first.kind, first.attribution.replace(first.file, file)),
        notes=tuple(dict.fromkeys((*read, *odd, *settled))),
        wind_height_m=readings[0].wind_height_m or WIND_HEIGHT_M,
    )  # fmt: skip


def lay_out(
    parts: Sequence[DailyRows], problems: Problems
) -> tuple[Days, dict[str, Values], list[str]]:
    """Consecutive days, their columns, and notes on what was settled.

    A day that stands twice with the same values is kept once; with different values it is a
    problem that names both lines.
    """
    given, columns, where = _joined(parts)
    order = np.argsort(given, kind="stable")
    days = given[order]
    again = np.flatnonzero(np.diff(days).astype(np.int64) == 0) + 1
    source = "file" if len(parts) == 1 else "files"
    notes: list[str] = []
    if any(np.any(np.diff(part.days).astype(np.int64) < 0) for part in parts):
        notes.append("the days were not in order; they were sorted")
    if len(again):
        _report_clashes(given, columns, where, (order[again - 1], order[again]), problems)
        notes.append(
            f"{counted(len(again), 'day')} twice in the {source} with the same values; kept once"
        )
        order = np.delete(order, again)
        days = given[order]
    at = (days - days[0]).astype(np.int64)
    consecutive = days[0] + np.arange(at[-1] + 1)
    missing = len(consecutive) - len(days)
    if missing:
        notes.append(f"{counted(missing, 'day')} missing from the {source}")
    laid = {}
    for name, values in columns.items():
        full = np.full(len(consecutive), np.nan)
        full[at] = values[order]
        laid[name] = full
    return consecutive, laid, notes


def _joined(parts: Sequence[DailyRows]) -> tuple[Days, dict[str, Values], Where]:
    """All rows one after the other, and where each stands."""
    names = dict.fromkeys(name for part in parts for name in part.columns)
    columns = {
        name: np.concatenate(
            [part.columns.get(name, np.full(len(part.days), np.nan)) for part in parts]
        )
        for name in names
    }
    starts = np.cumsum([0, *(len(part.days) for part in parts[:-1])]).tolist()

    def where(row: int) -> Place:
        part = bisect_right(starts, row) - 1
        return parts[part].place(row - starts[part])

    return np.concatenate([part.days for part in parts]), columns, where


def _report_clashes(
    days: Days,
    columns: dict[str, Values],
    where: Where,
    twice: tuple[Positions, Positions],
    problems: Problems,
) -> None:
    first, second = twice
    same = np.ones(len(first), dtype=bool)
    for values in columns.values():
        a, b = values[first], values[second]
        same &= (a == b) | (np.isnan(a) & np.isnan(b))
    pairs = {int(b): int(a) for a, b in zip(first[~same], second[~same], strict=True)}

    def say(row: int) -> str:
        there, here = where(pairs[row]), where(row)
        on = f"on line {there.line}" if there.file == here.file else f"in {there}"
        return f"{days[row]} stands already {on} with other values; keep one"

    report(problems, where, list(pairs), say, "days that stand twice")


def _check_one_place(readings: Sequence[Reading], problems: Problems) -> None:
    """Several files must be of one kind, one station and one height of the wind gauge."""
    first = readings[0]
    for reading in readings[1:]:
        for what, one, other in (
            ("format", first.source.kind, reading.source.kind),
            ("station", first.station, reading.station),
            ("height of the wind gauge in m", first.wind_height_m, reading.wind_height_m),
        ):
            if one != other:
                said = f"{what} '{other}', but {first.rows.file} has '{one}'; keep files of one"
                problems.add(Place(reading.rows.file), f"{said} {what.split(' in ')[0]}")
                break
