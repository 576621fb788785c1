"""Weather records as they were read last, where they lie, and those that were fetched.

A fetched file begins so:

# <attribution>
# fetched: 2026-09-05T12:00:00+00:00
# <key>: <value>
date,max temp (C),min temp (C),rain (mm)

A table is kept as plain arrays, under all that it was made of: the bytes of its files, their names
in messages, how they are to be read, and the code of the readers. What could not be read is not
kept, so a fault in a file is found each time.
"""

from __future__ import annotations

import datetime as dt
import io
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import numpy as np

from advisor.base.cache import code_of, keep_keyed, key_of, read_keyed
from advisor.base.commands import command, shell_folder
from advisor.base.dates import today
from advisor.base.paths import real_path
from advisor.base.problems import BadInput, Place, Problems
from advisor.base.record import Record, asdict
from advisor.base.text import from_json
from advisor.weather.columns import ColumnMapping
from advisor.weather.ncei_units import NceiUnits
from advisor.weather.table import Source, WeatherTable

WEATHER_FILE = "weather.csv"
WEATHER_FOLDER = "weather"
TO_FETCH = "write 'contact' and 'weather_source' into site.yaml, and fetch a station's record with"
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


def no_record(place: Place, weather: str) -> BadInput:
    """That there is no weather record, and how to add one. place: where it is wanted. weather: the
    command that fetches it; empty where there is no folder to put it into.
    """
    fetch = f"; or {TO_FETCH} '{weather}'" if weather else ""
    what = (
        f"no weather record; save one as {WEATHER_FILE} in this folder: one row a day under "
        "'date,max temp (F),min temp (F),rain (in)', or a daily-summaries CSV of a station "
        f"from NCEI; or put several files into a folder '{WEATHER_FOLDER}'{fetch}"
    )
    return BadInput.at(place, what)


def weather_files(path: Path, name: str) -> list[tuple[Path, str]]:
    """The files of a record, each with its name in messages. Raises `BadInput` if there is none.

    name: the record's own in messages.
    """
    if not path.is_dir():
        return [(path, name)]
    found = sorted(
        file for file in path.iterdir() if file.suffix.lower() in _SUFFIXES and file.is_file()
    )
    if not found:
        what = "no weather files in this folder; wanted files that end in .csv or .txt"
        raise BadInput.at(Place(name), what)
    return [(file, f"{name}/{file.name}") for file in found]


FETCHED_FOLDER = "fetched"
HISTORY_FILE = "history.csv"
FORECAST_FILE = "forecast.csv"
FETCHED, ISSUED, EXPIRES = "fetched", "issued", "expires"
#: A machine's clock may have been set back since the fetch.
_GRACE = dt.timedelta(days=2)


class Fetched(Record, frozen=True):
    """A fetched record. fetched: when, UTC. details: all `key: value` comments as written."""

    table: WeatherTable
    attribution: str
    fetched: dt.datetime
    details: Mapping[str, str]

    def time(self, key: str) -> dt.datetime | None:
        """A point in time among the details, UTC; None if it is not given."""
        given = self.details.get(key)
        return None if given is None else dt.datetime.fromisoformat(given)

    @property
    def issued(self) -> dt.datetime:
        """When a forecast was made, or else when the data were fetched."""
        return self.time(ISSUED) or self.fetched


def history_path(folder: Path) -> Path:
    """Where the fetched history of a site's folder lies."""
    return folder / FETCHED_FOLDER / HISTORY_FILE


def forecast_path(folder: Path) -> Path:
    """Where the fetched forecast of a site's folder lies."""
    return folder / FETCHED_FOLDER / FORECAST_FILE


def read_history(path: Path, today: dt.date) -> Fetched | None:
    """The fetched history; None if there is none. Raises `BadInput`."""
    return _read(path, today + _GRACE) if path.is_file() else None


def read_forecast(path: Path) -> Fetched | None:
    """The fetched forecast; None if there is none. Raises `BadInput`."""
    return _read(path, dt.date.max) if path.is_file() else None


def read_fetched(path: Path) -> Fetched:
    """A fetched file, whatever its days. Raises `BadInput`."""
    return _read(path, dt.date.max)


def _read(path: Path, last: dt.date) -> Fetched:
    # Most lawns have nothing fetched, or it is kept; only who reads the text pays for the readers.
    from advisor.weather.layout import to_table
    from advisor.weather.own_csv import read_own_csv
    from advisor.weather.text_file import read_text_table

    text = read_text_table(path)
    details = _details(text.comments[1:], text.file)
    problems = Problems()
    reading = read_own_csv(text, last, problems)
    table = to_table([reading], problems, text.file)
    fetched = dt.datetime.fromisoformat(details[FETCHED])
    return Fetched(table, text.comments[0], fetched, details)


def _details(comments: tuple[str, ...], file: str) -> dict[str, str]:
    pairs = (comment.partition(": ") for comment in comments)
    details = {key: value for key, colon, value in pairs if colon}
    for key in (FETCHED, ISSUED, EXPIRES):
        if key not in details and key != FETCHED:
            continue
        try:
            zoned = dt.datetime.fromisoformat(details.get(key, "")).tzinfo is not None
        except ValueError:
            zoned = False
        if not zoned:
            # It lies in a folder of the site's, which `fetched` names.
            again = command("weather", shell_folder(Path(file).parent.parent))
            mend = f"delete the file and run '{again}' again"
            what = f"no line '# {key}: 2026-09-05T12:00:00+00:00' with the time; {mend}"
            raise BadInput.at(Place(file, 1), what)
    return details


_CODE = ("weather", "base/units.py")
_LARGEST_BYTES = 50_000_000
"""A record of a hundred years has a tenth; what is larger is read as if nothing were kept."""


def read_kept_weather(
    path: Path,
    units: NceiUnits | None = None,
    day: dt.date | None = None,
    columns: ColumnMapping | None = None,
) -> WeatherTable:
    """As `read_weather` reads it, or as it did before. Raises `BadInput` like it.

    day: the last day that can have been observed, by default the clock's.
    """
    last = day or today()
    name = f"weather-{key_of(str(real_path(path)))[:16]}"
    key = _key(path, units, columns)
    found = _kept(name, key) if key else None
    # A record that goes on after today has rows to refuse.
    if found is not None and found.end <= last:
        return found
    from advisor.weather.read_weather import read_weather

    table = read_weather(path, units, last, columns=columns)
    # Whoever writes to the file meanwhile must not have its old rows taken for the new ones.
    if key and key == _key(path, units, columns) and _is_plain(table):
        keep_keyed(name, key, _packed(table))
    return table


def _key(path: Path, units: NceiUnits | None, columns: ColumnMapping | None) -> str:
    """All that a table depends on; empty if that cannot be told, which the readers then explain."""
    try:
        files = [file for file, _ in weather_files(path, str(path))]
        if sum(file.stat().st_size for file in files) > _LARGEST_BYTES:
            return ""
        raw = [part for file in files for part in (file.name, file.read_bytes())]
    except (OSError, BadInput):
        return ""
    return key_of(code_of(*_CODE), str(path), repr(units), repr(columns), *raw)


def _is_plain(table: WeatherTable) -> bool:
    """Whether all of a table is in its days, its columns and its header."""
    filled = any(marks.any() for marks in table.filled.values())
    return not filled and table.forecast_from is None and not table.origins


def _packed(table: WeatherTable) -> bytes:
    header = {
        "first": table.first.isoformat(),
        "columns": list(table.columns),
        "source": asdict(table.source),
        "notes": table.notes,
        "wind_height_m": table.wind_height_m,
    }
    out = io.BytesIO(json.dumps(header).encode() + b"\n")
    out.seek(0, io.SEEK_END)
    np.save(out, np.stack(list(table.columns.values())), allow_pickle=False)
    return out.getvalue()


def _kept(name: str, key: str) -> WeatherTable | None:
    raw = read_keyed(name, key)
    if raw is None:
        return None
    file = io.BytesIO(raw)
    try:
        header: dict[str, Any] = from_json(file.readline())
        values = np.load(file, allow_pickle=False)
        return WeatherTable(
            days=np.datetime64(header["first"]) + np.arange(values.shape[1]),
            columns=dict(zip(header["columns"], values, strict=True)),
            source=Source(**header["source"]),
            notes=tuple(header["notes"]),
            wind_height_m=header["wind_height_m"],
        )
    except (ValueError, LookupError, TypeError, EOFError):
        return None
