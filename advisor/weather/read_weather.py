"""Find a site's weather record and read it, whichever of the known formats it has."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from advisor.base import dates
from advisor.base.problems import BadInput, Place, Problems
from advisor.weather.column_mapping import ColumnMapping
from advisor.weather.layout import to_table
from advisor.weather.mapped_csv import read_mapped_csv
from advisor.weather.ncei_csv import is_ncei_header, read_ncei_csv
from advisor.weather.ncei_units import NceiUnits
from advisor.weather.own_csv import read_own_csv
from advisor.weather.reading import Reading
from advisor.weather.table import WeatherTable
from advisor.weather.text_file import read_lines, to_text_table
from advisor.weather.uscrn import is_uscrn, read_uscrn

WEATHER_FILE = "weather.csv"
WEATHER_FOLDER = "weather"
_SUFFIXES = (".csv", ".txt")


def weather_path(folder: Path) -> Path | None:
    """A site folder's weather file, or its folder of weather files; None if it has neither.

    Raises `BadInput` if it has both.
    """
    file, files = folder / WEATHER_FILE, folder / WEATHER_FOLDER
    if not files.is_dir():
        return file if file.is_file() else None
    if file.is_file():
        what = f"there is a folder '{WEATHER_FOLDER}' too; keep one of them"
        raise BadInput.at(Place(str(file)), what)
    return files


def no_record(place: Place) -> BadInput:
    """That there is no weather record, and how to add one. place: where it is wanted."""
    what = (
        f"no weather record; save one as {WEATHER_FILE} in this folder: one row a day under "
        "'date,max temp (F),min temp (F),rain (in)', or a daily-summaries CSV of a station "
        f"from NCEI; or put several files into a folder '{WEATHER_FOLDER}'; or fetch a "
        "station's with 'advisor weather'"
    )
    return BadInput.at(place, what)


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
    for file, shown in _files(path, name):
        try:
            readings.append(_read_file(file, shown, day, units, columns, problems))
        except BadInput as error:
            problems.take(error)
    if not readings:
        problems.raise_if_any()
    return to_table(readings, problems, name)


def _files(path: Path, name: str) -> list[tuple[Path, str]]:
    if not path.is_dir():
        return [(path, name)]
    found = sorted(
        file for file in path.iterdir() if file.suffix.lower() in _SUFFIXES and file.is_file()
    )
    if not found:
        what = "no weather files in this folder; wanted files that end in .csv or .txt"
        raise BadInput.at(Place(name), what)
    return [(file, f"{name}/{file.name}") for file in found]


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
