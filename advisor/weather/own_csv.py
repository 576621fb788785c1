"""Our own weather file: a header that names columns and units, one row a day."""

from __future__ import annotations

import datetime as dt

import numpy as np

from advisor.base.problems import Place, Problems
from advisor.weather.cells import read_dates, read_numbers
from advisor.weather.checks import DailyRows
from advisor.weather.headers import read_headings
from advisor.weather.offences import counted
from advisor.weather.reading import Reading
from advisor.weather.table import Source
from advisor.weather.text_file import TextTable


def read_own_csv(text: TextTable, today: dt.date, problems: Problems) -> Reading:
    """Read a table with headings such as `date,max temp (F),min temp (F),rain (in)`.

    Comments above the header become notes, and the first of them the attribution. What is wrong
    with cells goes to `problems`; raises `BadInput` for a header that is not understood.
    """
    headings = read_headings(text.header, Place(text.file, text.header_line))
    days = read_dates(text.column(headings.date_at), text.place, today, problems)
    columns, titles, written = {}, {}, {}
    notes = list(text.comments)
    for heading in headings.columns:
        cells = text.column(heading.at)
        name = heading.column.name
        numbers = read_numbers(cells, heading.title, heading.column, text.place, problems)
        columns[name] = np.round(numbers.values * heading.slope + heading.intercept, 6)
        titles[name], written[name] = heading.title, cells
        if numbers.traces:
            traces = counted(numbers.traces, "trace")
            notes.append(f"{traces} of {heading.column.label}, read as 0")
    notes += [f"column '{title}' is not used" for title in headings.unused]
    if "rain_mm" not in columns:
        notes.append("the file has no rain; rain is unknown on all days")
    rows = DailyRows(text.file, text.header_line, text.lines, days, columns, titles, written)
    attribution = text.comments[0] if text.comments else f"own record, {text.file}"
    source = Source(text.file, "own file", attribution)
    return Reading(rows, source, tuple(notes), wind_height_m=headings.wind_height_m)
