"""From rows in any order to consecutive days: sorted, duplicates settled, missing days unknown."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import Problems
from advisor.weather.checks import DailyRows, check_values
from advisor.weather.offences import counted, report
from advisor.weather.table import Days, Source, Values, WeatherTable

Positions = NDArray[np.intp]


def to_table(
    rows: DailyRows, problems: Problems, source: Source, notes: list[str], wind_height_m: float
) -> WeatherTable:
    """Check the rows, lay them out, and make the table.

    Rows without a date (NaT), already reported, are left out. Raises `BadInput` with everything
    in `problems` and everything found here.
    """
    dated = rows.only(np.flatnonzero(~np.isnat(rows.days)))
    if not len(dated.days):
        problems.raise_if_any()
    odd = check_values(dated, problems)
    days, columns, settled = lay_out(dated, problems)
    problems.raise_if_any()
    return WeatherTable(
        days, columns, source, notes=(*notes, *odd, *settled), wind_height_m=wind_height_m
    )


def lay_out(rows: DailyRows, problems: Problems) -> tuple[Days, dict[str, Values], list[str]]:
    """Consecutive days, their columns, and notes on what was settled.

    A day that stands twice with the same values is kept once; with different values it is a
    problem that names both lines.
    """
    order = np.argsort(rows.days, kind="stable")
    days = rows.days[order]
    again = np.flatnonzero(np.diff(days).astype(np.int64) == 0) + 1
    notes: list[str] = []
    if np.any(np.diff(rows.days).astype(np.int64) < 0):
        notes.append("the days were not in order; they were sorted")
    if len(again):
        _report_clashes(rows, order, again, problems)
        notes.append(
            f"{counted(len(again), 'day')} twice in the file with the same values; kept once"
        )
        order = np.delete(order, again)
        days = rows.days[order]
    at = (days - days[0]).astype(np.int64)
    consecutive = days[0] + np.arange(at[-1] + 1)
    missing = len(consecutive) - len(days)
    if missing:
        notes.append(f"{counted(missing, 'day')} missing from the file")
    columns = {}
    for name, values in rows.columns.items():
        full = np.full(len(consecutive), np.nan)
        full[at] = values[order]
        columns[name] = full
    return consecutive, columns, notes


def _report_clashes(
    rows: DailyRows, order: Positions, again: Positions, problems: Problems
) -> None:
    first, second = order[again - 1], order[again]
    same = np.ones(len(again), dtype=bool)
    for values in rows.columns.values():
        a, b = values[first], values[second]
        same &= (a == b) | (np.isnan(a) & np.isnan(b))
    pairs = {int(b): int(a) for a, b in zip(first[~same], second[~same], strict=True)}
    report(
        problems, rows.file, rows.lines, list(pairs),
        lambda at: f"{rows.days[at]} stands already on line {rows.lines[pairs[at]]} with other "
        "values; keep one", "days that stand twice",
    )  # fmt: skip
