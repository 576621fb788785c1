"""Read monthly normals from a file of twelve rows."""

from __future__ import annotations

from pathlib import Path

import numpy as np

from advisor.base.problems import Place, Problems
from advisor.weather.cells import read_numbers
from advisor.weather.columns import BASIC
from advisor.weather.gaps import MonthlyNormals
from advisor.weather.headers import Heading, read_headings
from advisor.weather.table import Values
from advisor.weather.text_file import TextTable, read_text_table

#: The wettest month on record, Cherrapunji, July 1861 (9.3 m).
WETTEST_MONTH_MM = 9_300.0
#: A place whose warmest month is colder has a polar climate in Köppen's sense (10 °C is his limit
#: for the mean; ours, for the mean maximum, is more lenient still).
WARMEST_MONTH_C = 10.0
_MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip


def read_normals(path: Path, shown_as: str | None = None) -> MonthlyNormals:
    """Read `month,max temp (F),min temp (F),rain (in)` with twelve rows. Raises `BadInput`."""
    text = read_text_table(path, shown_as)
    place = Place(text.file, text.header_line)
    headings = read_headings(text.header, place, dated=("month",))
    problems = Problems()
    order = _months(text, headings.date_at, problems)
    columns = {"rain_mm": np.full(12, np.nan)}
    for heading in headings.columns:
        name = heading.column.name
        if name not in BASIC:
            continue
        numbers = read_numbers(
            text.column(heading.at), heading.title, heading.column, text.place, problems
        )
        canonical = np.round(numbers.values * heading.slope + heading.intercept, 6)
        for value, line in zip(canonical, text.lines, strict=True):
            if trouble := _trouble(heading, float(value)):
                problems.add(Place(text.file, line), f"{heading.title}: {trouble}")
        columns[name] = canonical
    _check_pairs(text, columns, problems)
    problems.raise_if_any()
    attribution = text.comments[0] if text.comments else f"monthly normals, {text.file}"
    in_order = {name: tuple(float(v) for v in values[order]) for name, values in columns.items()}
    return MonthlyNormals(text.file, attribution=attribution, **in_order)


def _trouble(heading: Heading, value: float) -> str:
    """What is wrong with one month's value in canonical units, or an empty string."""
    column = heading.column
    if np.isnan(value):
        return "" if column.name == "rain_mm" else "the value is missing; fill it in"
    high = WETTEST_MONTH_MM if column.name == "rain_mm" else column.high
    if column.low <= value <= high:
        return ""
    return f"{value:.4g} {column.unit} is not possible; wanted {column.low:g} to {high:g}"


def _months(text: TextTable, at: int, problems: Problems) -> list[int]:
    """Positions of January to December among the rows."""
    rows: dict[int, int] = {}
    for row, (cell, line) in enumerate(zip(text.column(at), text.lines, strict=True)):
        month = _month(cell)
        if month is None:
            what = f"'{cell}' is no month; write 1 to 12 or the English name"
            problems.add(Place(text.file, line), what)
        elif month in rows:
            what = f"month {month} stands already on line {text.lines[rows[month]]}; keep one"
            problems.add(Place(text.file, line), what)
        else:
            rows[month] = row
    missing = [name for month, name in enumerate(_MONTHS, 1) if month not in rows]
    if missing:
        what = f"no row for {', '.join(missing)}; wanted all twelve months"
        problems.add(Place(text.file, text.header_line), what)
    return [rows.get(month, 0) for month in range(1, 13)]


def _month(cell: str) -> int | None:
    word = cell.casefold().rstrip(".")
    if word.isdecimal():
        return int(word) if 1 <= int(word) <= 12 else None
    for number, name in enumerate(_MONTHS, 1):
        if len(word) >= 3 and name.casefold().startswith(word):
            return number
    return None


def _check_pairs(text: TextTable, columns: dict[str, Values], problems: Problems) -> None:
    highs, lows = columns["air_max_c"], columns["air_min_c"]
    for high, low, line in zip(highs, lows, text.lines, strict=True):
        if high < low:
            what = "the mean maximum is lower than the mean minimum; are they swapped?"
            problems.add(Place(text.file, line), what)
    if float(np.nanmax(highs)) < WARMEST_MONTH_C:
        what = (
            f"the warmest month has a mean maximum of {np.nanmax(highs):.0f} °C, too cold for any "
            "lawn; is the column in °C, not °F? Write the right unit in the header"
        )
        problems.add(Place(text.file, text.header_line), what)
