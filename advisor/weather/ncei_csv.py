"""Daily-summaries CSV of the US National Centers for Environmental Information (GHCN-Daily)."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import BadInput, Place, Problems
from advisor.weather.cells import read_dates, read_numbers
from advisor.weather.checks import DailyRows, upside_down
from advisor.weather.columns import COLUMNS
from advisor.weather.ncei_units import ELEMENTS, NceiUnits, find_units
from advisor.weather.offences import counted
from advisor.weather.reading import Reading
from advisor.weather.table import Source
from advisor.weather.text_file import TextTable

#: Airport stations, the ones that report AWND, measure wind at about 10 m.
WIND_HEIGHT_M = 10.0


def is_ncei_header(header: list[str]) -> bool:
    """Whether a header row is that of an NCEI daily-summaries file."""
    names = set(header)
    return {"STATION", "DATE"} <= names and not names.isdisjoint(ELEMENTS)


def read_ncei_csv(
    text: TextTable, today: dt.date, units: NceiUnits | None, problems: Problems
) -> Reading:
    """Read a file with columns STATION, DATE and elements in any order.

    Values whose quality flag (second field of the element's _ATTRIBUTES) says that they failed a
    check are dropped and counted, as are days with maximum below minimum. Raises `BadInput` with
    what is wrong here and everything in `problems`.
    """
    place = Place(text.file, text.header_line)
    _check_header(text.header, place)
    station = _one_station(text)
    notes = list(text.comments)
    days = read_dates(text.column(text.header.index("DATE")), text.place, today, problems)
    raw: dict[str, NDArray[np.float64]] = {}
    for element in [e for e in ELEMENTS if e in text.header]:
        column = COLUMNS[ELEMENTS[element][0]]
        cells = text.column(text.header.index(element))
        numbers = read_numbers(cells, element, column, text.place, problems)
        failed = _failed(text, element)
        numbers.values[failed] = np.nan
        if len(failed):
            notes.append(
                f"{counted(len(failed), 'value')} of {element} failed a quality check; dropped"
            )
        raw[element] = numbers.values
    problems.raise_if_any()
    system, how = find_units(raw, place, units)
    columns, titles, written = {}, {}, {}
    for element, values in raw.items():
        name, conversions = ELEMENTS[element]
        slope, intercept = conversions[system]
        columns[name] = np.round(values * slope + intercept, 6)
        titles[name] = element
        written[name] = text.column(text.header.index(element))
    turned = upside_down(columns)
    if len(turned):
        columns["air_max_c"][turned] = columns["air_min_c"][turned] = np.nan
        notes.append(f"{counted(len(turned), 'day')} with TMAX below TMIN; both dropped")
    rows = DailyRows(text.file, text.header_line, text.lines, days, columns, titles, written)
    attribution = f"NOAA National Centers for Environmental Information, daily summaries, {station}"
    source = Source(text.file, "NCEI daily summaries", attribution)
    code = text.rows[0][text.header.index("STATION")].strip()
    return Reading(rows, source, (*notes, how), code, WIND_HEIGHT_M)


def _check_header(header: list[str], place: Place) -> None:
    problems = Problems()
    for name in ("TMAX", "TMIN"):
        if name not in header:
            problems.add(place, f"no column {name}; fetch the file again with TMAX, TMIN and PRCP")
    for name in dict.fromkeys(header):
        if header.count(name) > 1:
            problems.add(place, f"column {name} stands {header.count(name)} times; keep one")
    problems.raise_if_any()


def _one_station(text: TextTable) -> str:
    codes = text.column(text.header.index("STATION"))
    first = codes[0]
    for code, line in zip(codes, text.lines, strict=True):
        if code != first:
            what = f"station '{code}' after '{first}'; keep the rows of one station"
            raise BadInput.at(Place(text.file, line), what)
    if "NAME" in text.header and (name := text.rows[0][text.header.index("NAME")].strip()):
        return f"station {first} {name}"
    return f"station {first}"


def _failed(text: TextTable, element: str) -> list[int]:
    """Rows whose value of the element carries a quality flag.

    The attributes are measurement flag, quality flag, source flag and perhaps time of observation,
    in that order; a blank quality flag means that no check failed (GHCN-Daily readme, NCEI).
    """
    title = f"{element}_ATTRIBUTES"
    if title not in text.header:
        return []
    at = text.header.index(title)
    failed = []
    for row, cells in enumerate(text.rows):
        flags = cells[at].split(",", 2)
        if len(flags) > 1 and flags[1].strip():
            failed.append(row)
    return failed
