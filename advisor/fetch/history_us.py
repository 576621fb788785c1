"""Daily history of stations in the archive of NCEI: daily summaries, and the reference network.

A station is named by its GHCN id, `USW00094996`, and then asked of the access data service
(dataset daily-summaries), or by the file name of a U.S. Climate Reference Network station,
`KS_Manhattan_6_SSW`, and then its daily01 files are fetched, one a year. Both are in the public
domain. Formats: https://www.ncei.noaa.gov/support/access-data-service-api-user-documentation and
readme.txt of the product daily01.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re

from advisor.base.problems import BadInput, Place, Problems
from advisor.base.record import replace
from advisor.fetch.batch import Batch
from advisor.fetch.body import refuse_web_page
from advisor.fetch.client import Answer, Client
from advisor.fetch.failure import FetchFailed, unusable
from advisor.fetch.settings import Services
from advisor.weather.layout import to_table
from advisor.weather.ncei_csv import is_ncei_header, read_ncei_csv
from advisor.weather.reading import Reading
from advisor.weather.text_file import to_text_table
from advisor.weather.uscrn import is_uscrn, read_uscrn

_GHCN = re.compile(r"[A-Z]{2}[A-Z0-9_-][A-Z0-9]{8}\Z")
_REFERENCE = re.compile(r"[A-Z]{2}_[A-Za-z.]+(?:_[A-Za-z0-9.-]+)*_[0-9]{1,3}_[NESW]{1,3}\Z")
_ELEMENTS = "TMAX,TMIN,PRCP,SNWD,AWND"


def check_station(station: str, place: Place) -> None:
    """Raises `BadInput` if this is the name of no station."""
    if not (_GHCN.match(station) or _REFERENCE.match(station)):
        what = (
            f"'{station}' is no station; wanted a GHCN id of 11 characters, such as USW00094996, "
            "or a Climate Reference Network station, such as KS_Manhattan_6_SSW"
        )
        raise BadInput.at(place, what)


def fetch_history_us(
    client: Client, services: Services, station: str, first: dt.date, today: dt.date
) -> Batch:
    """The days of a station from `first` to `today`, as far as the archive has them.

    Raises `FetchFailed`.
    """
    if _REFERENCE.match(station):
        return _reference(client, services.reference, station, first, today)
    return _summaries(client, services.daily, station, first, today)


def _summaries(client: Client, address: str, station: str, first: dt.date, today: dt.date) -> Batch:
    # Without `units` the values would come in tenths, and nothing in the answer would say so.
    answer = client.get(
        address,
        {
            "dataset": "daily-summaries", "stations": station, "dataTypes": _ELEMENTS,
            "startDate": first.isoformat(), "endDate": today.isoformat(), "units": "metric",
            "format": "csv", "includeAttributes": "true", "includeStationName": "true",
        },
    )  # fmt: skip
    _check_whole(answer, quoted=True)
    lines = io.StringIO(answer.text, newline=None).readlines()
    if len([line for line in lines if line.strip()]) < 2:
        raise FetchFailed(
            f"{answer.host}: an empty answer for station {station} from {first} to {today}; "
            "is the id right, and does the station report these days?"
        )
    problems = Problems()
    try:
        text = to_text_table(lines, answer.host)
        if not is_ncei_header(text.header):
            found = ", ".join(text.header)[:80]
            wanted = "wanted STATION, DATE, TMAX, TMIN"
            raise FetchFailed(f"{answer.host}: the answer has other columns; {wanted}: {found}")
        reading = read_ncei_csv(text, today + dt.timedelta(days=1), "metric", problems)
        table = to_table([reading], problems, answer.host)
    except BadInput as error:
        raise unusable(answer.host, error) from None
    if reading.station != station:
        raise FetchFailed(f"{answer.host}: asked for {station}, answered for {reading.station}")
    return Batch(table, address, fresh_seconds=answer.fresh_seconds)


def _reference(client: Client, base: str, station: str, first: dt.date, today: dt.date) -> Batch:
    readings: list[Reading] = []
    problems = Problems()
    fresh: int | None = None
    host, missing = base.partition("://")[2], ""
    # The newest year first: if that works, a year that is missing is one before the station began.
    for year in range(today.year, first.year - 1, -1):
        try:
            answer = client.get(f"{base}/{year}/CRND0103-{year}-{station}.txt")
        except FetchFailed as failure:
            if not failure.missing:
                raise
            missing = str(failure)
            if readings:
                break
            continue
        fresh = answer.fresh_seconds if fresh is None else fresh
        readings.append(_year_of(answer, year, today, problems))
    if not readings:
        raise FetchFailed(f"{host}: no file of station {station} ({missing})")
    try:
        table = to_table(readings, problems, host)
    except BadInput as error:
        raise unusable(host, error) from None
    source = replace(table.source, file=host)
    return Batch(replace(table, source=source), f"{base}/*/*{station}.txt", fresh_seconds=fresh)


def _year_of(answer: Answer, year: int, today: dt.date, problems: Problems) -> Reading:
    _check_whole(answer, quoted=False)
    lines = io.StringIO(answer.text, newline=None).readlines()
    if not is_uscrn(lines):
        raise FetchFailed(f"{answer.host}: the answer is no daily01 file of {year}")
    try:
        return read_uscrn(lines, f"{answer.host} {year}", today + dt.timedelta(days=1), problems)
    except BadInput as error:
        raise unusable(answer.host, error) from None


def _check_whole(answer: Answer, *, quoted: bool) -> None:
    """Raise `FetchFailed` for a web page, or for a table that breaks off in its last row.

    quoted: whether the service puts cells into quotes, so that the end of a row can be told even
    without a line's end behind it.
    """
    refuse_web_page(answer)
    text = answer.text
    if not text or text.endswith("\n"):
        return
    header, last = text.partition("\n")[0], text.rpartition("\n")[2]
    closed = last.endswith('"') and last.count('"') % 2 == 0
    if not (quoted and closed and _cells(last) == _cells(header)):
        raise FetchFailed(f"{answer.host}: the answer breaks off in its last row")


def _cells(line: str) -> int:
    return len(next(csv.reader([line]), []))
