"""Read a weather record, whichever of the known formats it has."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from advisor.base import dates
from advisor.base.problems import BadInput, Problems
from advisor.weather.columns import ColumnMapping
from advisor.weather.kept_weather import weather_files
from advisor.weather.layout import to_table
from advisor.weather.mapped_csv import read_mapped_csv
from advisor.weather.ncei_csv import is_ncei_header, read_ncei_csv
from advisor.weather.ncei_units import NceiUnits
from advisor.weather.own_csv import read_own_csv
from advisor.weather.reading import Reading
from advisor.weather.table import WeatherTable
from advisor.weather.text_file import read_lines, to_text_table
from advisor.weather.uscrn import is_uscrn, read_uscrn


def read_weather(
    path: Path,
    units: NceiUnits | None = None,
    today: dt.date | None = None,
    shown_as: str | None = None,
    columns: ColumnMapping | None = None,
) -> WeatherTable:
    """Read a daily weather file, or all files *.csv and *.txt of a folder, joined.

    units: of an NCEI file, where the file does not tell; None to detect. today: the last day that
    can have been observed, by default the clock's. shown_as: the record's name in messages.
    columns: how to read a CSV of another make, and then every CSV; None for the known formats.
    Raises `BadInput` with every problem found.
    """
    name = shown_as or str(path)
    day = today or dates.today()
    problems = Problems()
    readings = []
    for file, shown in weather_files(path, name):
        try:
            readings.append(_read_file(file, shown, day, units, columns, problems))
        except BadInput as error:
            problems.take(error)
    if not readings:
        problems.raise_if_any()
    return to_table(readings, problems, name)


def _read_file(
    path: Path,
    file: str,
    today: dt.date,
    units: NceiUnits | None,
    columns: ColumnMapping | None,
    problems: Problems,
) -> Reading:
    lines = read_lines(path, file)
    if is_uscrn(lines):
        return read_uscrn(lines, file, today, problems)
    if columns is not None:
        return read_mapped_csv(lines, file, columns, today, problems)
    text = to_text_table(lines, file)
    if is_ncei_header(text.header):
        return read_ncei_csv(text, today, units, problems)
    return read_own_csv(text, today, problems)
