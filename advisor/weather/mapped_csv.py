"""A CSV of another make, read as the keeper describes it; hourly rows become days."""

from __future__ import annotations

import datetime as dt
from textwrap import shorten

import numpy as np

from advisor.base.problems import BadInput, Place, Problems, did_you_mean
from advisor.weather.cells import read_numbers, within_time
from advisor.weather.checks import DailyRows
from advisor.weather.columns import COLUMNS, HOURLY_AIR, ColumnMapping
from advisor.weather.frames import Stamps, stamps
from advisor.weather.headers import Heading, to_heading
from advisor.weather.hourly import to_days
from advisor.weather.offences import counted, report
from advisor.weather.reading import Reading
from advisor.weather.table import Source
from advisor.weather.text_file import TextTable, to_text_table


def read_mapped_csv(
    lines: list[str], file: str, mapping: ColumnMapping, today: dt.date, problems: Problems
) -> Reading:
    """Read a file by its column mapping. Columns that are not mapped are passed over.

    What is wrong with cells goes to `problems`; raises `BadInput` for a misshapen file or a header
    without the columns that the mapping names.
    """
    text = to_text_table(lines, file, mapping.separator, mapping.skip_rows)
    headings = _find_columns(text, mapping)
    times = _read_times(text, mapping, today, problems)
    columns, titles, written = {}, {}, {}
    notes = list(text.comments)
    for heading in headings:
        cells, name = text.column(heading.at), heading.column.name
        numbers = read_numbers(
            cells, heading.title, heading.column, text.place, problems,
            frozenset(mapping.missing), mapping.decimal,
        )  # fmt: skip
        columns[name] = np.round(numbers.values * heading.slope + heading.intercept, 6)
        titles[name], written[name] = heading.title, cells
        if numbers.traces:
            traces = counted(numbers.traces, "trace")
            notes.append(f"{traces} of {heading.column.label}, read as 0")
    if "rain_mm" not in columns:
        notes.append("the file has no rain; rain is unknown on all days")
    rows = DailyRows(
        file, text.header_line, text.lines, times.astype("datetime64[D]"), columns, titles,
        written, units_at="under weather_columns in site.yaml",
    )  # fmt: skip
    if mapping.hourly:
        rows, said = to_days(rows, times)
        notes += said
    else:
        _check_one_a_day(text, times)
    attribution = text.comments[0] if text.comments else f"own record, {file}"
    source = Source(file, "own file", attribution)
    return Reading(rows, source, tuple(notes), wind_height_m=mapping.wind_height)


def _check_one_a_day(text: TextTable, times: Stamps) -> None:
    """Raise `BadInput` if a day has rows of several times of day."""
    order = np.argsort(times, kind="stable")
    days = times[order].astype("datetime64[D]")
    later = np.flatnonzero((days[1:] == days[:-1]) & (np.diff(times[order]).astype(np.int64) > 0))
    if len(later):
        row = int(order[later[0] + 1])
        what = f"{days[later[0]]} has rows of several times; for an hourly file say 'hourly: true'"
        raise BadInput.at(text.place(row), what)


def _find_columns(text: TextTable, mapping: ColumnMapping) -> list[Heading]:
    place = Place(text.file, text.header_line)
    if len(text.header) == 1:
        shown = shorten(text.header[0], 40, placeholder="…")
        what = f"the header is one column, '{shown}'; is it divided by "
        raise BadInput.at(place, f"{what}'{mapping.separator}', as weather_columns says?")
    problems = Problems()
    for title in filter(None, (mapping.date, mapping.time)):
        _position(text, title, problems)
    found = []
    for key, mapped in mapping.named().items():
        at = _position(text, mapped.column, problems)
        column = COLUMNS["air_max_c" if key == HOURLY_AIR else key]
        heading = to_heading(at, mapped.column, column, mapped.unit, place, problems)
        if heading:
            found.append(heading)
    problems.raise_if_any()
    return found


def _position(text: TextTable, title: str, problems: Problems) -> int:
    """Where a title stands in the header; 0, with a problem, if it is not there exactly once."""
    count = text.header.count(title)
    if count == 1:
        return text.header.index(title)
    if count:
        what = f"{count} columns are called '{title}'; rename all but one"
    else:
        have = ", ".join(f"'{name}'" for name in text.header)
        near = did_you_mean(title, text.header)
        what = (
            f"no column is called '{title}', which weather_columns names{near or ''}"
            f"{'' if near else f'; the header has {have}'}"
        )
    problems.add(Place(text.file, text.header_line), what)
    return 0


def _read_times(
    text: TextTable, mapping: ColumnMapping, today: dt.date, problems: Problems
) -> Stamps:
    """When each row was measured; NaT, with a problem, where that cannot be read."""
    cells = text.column(text.header.index(mapping.date))
    if mapping.time is not None:
        hours = text.column(text.header.index(mapping.time))
        cells = [f"{day} {hour}" for day, hour in zip(cells, hours, strict=True)]
    times = stamps(cells, mapping.date_format)
    example = dt.datetime(2026, 6, 21, 14, tzinfo=dt.UTC).strftime(mapping.date_format)
    report(
        problems, text.place, np.flatnonzero(np.isnat(times)).tolist(),
        lambda at: f"'{cells[at]}' is no date written as '{mapping.date_format}', "
        f"such as '{example}'", "wrong dates",
    )  # fmt: skip
    days = within_time(times.astype("datetime64[D]"), cells, text.place, today, problems)
    return np.where(np.isnat(days), np.datetime64("NaT", "s"), times)
