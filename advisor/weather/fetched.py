"""Weather that was fetched: our own CSV format, with its provenance in the comments above it.

# <attribution>
# fetched: 2026-09-05T12:00:00+00:00
# <key>: <value>
date,max temp (C),min temp (C),rain (mm)
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

from advisor.base.problems import BadInput, Place, Problems
from advisor.base.record import Record
from advisor.weather.table import WeatherTable

FETCHED_FOLDER = "fetched"
HISTORY_FILE = "history.csv"
FORECAST_FILE = "forecast.csv"
FETCHED, ISSUED, EXPIRES = "fetched", "issued", "expires"
#: A machine's clock may have been set back since the fetch.
_GRACE = dt.timedelta(days=2)
_MEND = "delete the file and run 'advisor weather' again"


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
            what = f"no line '# {key}: 2026-09-05T12:00:00+00:00' with the time; {_MEND}"
            raise BadInput.at(Place(file, 1), what)
    return details
