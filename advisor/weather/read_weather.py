"""Find a site's weather file and read it, whichever of the known formats it has."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from advisor.base import dates
from advisor.base.problems import BadInput, Place
from advisor.weather.ncei_csv import is_ncei_header, read_ncei_csv
from advisor.weather.ncei_units import NceiUnits
from advisor.weather.own_csv import read_own_csv
from advisor.weather.table import WeatherTable
from advisor.weather.text_file import read_text_table

WEATHER_FILE = "weather.csv"


def find_weather(folder: Path) -> Path:
    """The weather file of a site folder. Raises `BadInput` that says how to add one."""
    path = folder / WEATHER_FILE
    if not path.is_file():
        what = (
            f"no weather record; save one as {WEATHER_FILE} in this folder: one row a day under "
            "'date,max temp (F),min temp (F),rain (in)', or a daily-summaries CSV of a station "
            "from NCEI"
        )
        raise BadInput.at(Place(str(path)), what)
    return path


def read_weather(
    path: Path,
    units: NceiUnits | None = None,
    today: dt.date | None = None,
    shown_as: str | None = None,
) -> WeatherTable:
    """Read a daily weather file.

    units: of an NCEI file, where the file does not tell; None to detect. today: the last day that
    can have been observed, by default the clock's. shown_as: the file's name in messages.
    Raises `BadInput` with every problem found.
    """
    text = read_text_table(path, shown_as)
    day = today or dates.today()
    if is_ncei_header(text.header):
        return read_ncei_csv(text, day, units)
    return read_own_csv(text, day)
