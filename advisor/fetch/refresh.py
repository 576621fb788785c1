"""Renew a site's fetched weather where that is due and possible; keep what is there otherwise."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from zoneinfo import ZoneInfo

from advisor.base.dates import now_utc, today
from advisor.base.problems import BadInput
from advisor.base.record import Record, replace
from advisor.fetch.batch import Batch, degrees
from advisor.fetch.client import Client
from advisor.fetch.deadline import within
from advisor.fetch.failure import FetchFailed
from advisor.fetch.merge import carry_today, merge_history
from advisor.fetch.say import describe, expiry_text, stamp
from advisor.fetch.settings import CLOCK_SLACK_SECONDS, DEFAULT_FRESH_SECONDS, Patience
from advisor.fetch.sources import Sources
from advisor.fetch.store import keep, when
from advisor.records.record import Site
from advisor.weather.kept_weather import (
    EXPIRES,
    Fetched,
    forecast_path,
    history_path,
    read_fetched,
    read_forecast,
)

#: The archive still corrects days of the last weeks; these are fetched again (our choice).
CORRECTED = dt.timedelta(days=60)
#: A normal period of climate is thirty years (WMO-No. 1203, 2017, cited from memory).
YEARS_BACK = 30
_STATION, _FROM, _PLACE, _SOURCE = "station", "from", "place", "source"


class Outcome(Record, frozen=True):
    """What there is now of the history or the forecast, and why it was not renewed.

    line: says what there is and how old it is. trouble: empty where all is well.
    """

    line: str
    there: bool
    trouble: str = ""


class _Task(Record, frozen=True):
    """What is common to both fetches."""

    site: Site
    folder: Path
    contact: str
    patience: Patience
    now: dt.datetime
    today: dt.date

    @property
    def place(self) -> str:
        return f"{degrees(self.site.place.latitude)},{degrees(self.site.place.longitude)}"

    def ask(self, work: Callable[[Client], Batch]) -> Batch:
        """Half of the whole patience for one of the two fetches. Raises `FetchFailed`.

        The client itself is given a little less, for it can say better what was slow.
        """
        half = self.patience.whole / 2
        patience = replace(self.patience, whole=0.95 * half)

        def run() -> Batch:
            with Client(self.contact, patience) as client:
                return work(client)

        return within(half, run)


def refresh(
    site: Site,
    folder: Path,
    sources: Sources,
    contact: str,
    from_year: int | None = None,
    patience: Patience | None = None,
) -> tuple[Outcome, Outcome]:
    """Fetch the forecast and the history of a site into its folder, each if it is due.

    from_year: the first year of the history. What cannot be renewed stays as it was.
    Raises `BadInput` only if a file cannot be written.
    """
    zone = site.place.time_zone
    task = _Task(site, folder, contact, patience or Patience(), now_utc(), today(zone))
    first = from_year if from_year is not None else task.today.year - YEARS_BACK
    return _refresh_forecast(task, sources), _refresh_history(task, sources, first)


def cached(folder: Path) -> tuple[Outcome, Outcome]:
    """What there is, without asking anybody."""
    now = now_utc()
    return _kept("forecast", forecast_path(folder), now), _kept(
        "history", history_path(folder), now
    )


def stored_station(folder: Path) -> str | None:
    """The station whose history was fetched before; None if there is none."""
    there = _old(history_path(folder))
    return there.details.get(_STATION) if there is not None else None


def _refresh_forecast(task: _Task, sources: Sources) -> Outcome:
    path = forecast_path(task.folder)
    ask = sources.forecast
    if ask is None:
        return _kept("forecast", path, task.now)
    old = _old(path)
    same = old is not None and old.details.get(_PLACE) == task.place
    if old is not None and same and _fresh(old, task.now):
        return Outcome(f"{describe('forecast', old, task.now)}; {expiry_text(old)}", True)
    try:
        batch = task.ask(lambda client: ask(client, task.today))
        issued = batch.issued or task.now
        _check_issue(issued, batch, old if same else None, task)
        table = batch.table
        if old is not None and same:
            zone = ZoneInfo(task.site.place.time_zone or "UTC")
            table = carry_today(table, old, task.today, zone)
        seconds = DEFAULT_FRESH_SECONDS if batch.fresh_seconds is None else batch.fresh_seconds
        details = {_SOURCE: batch.address, _PLACE: task.place, **when(task.now, seconds, issued)}
        keep(path, table, details)
    except FetchFailed as failure:
        return _kept("forecast", path, task.now, f"forecast not renewed: {failure}")
    return Outcome(describe("forecast", read_fetched(path), task.now), True)


def _check_issue(issued: dt.datetime, batch: Batch, old: Fetched | None, task: _Task) -> None:
    host = batch.table.source.file
    if (issued - task.now).total_seconds() > CLOCK_SLACK_SECONDS:
        what = (
            f"{host}: its forecast was issued {stamp(issued)}, in the future; is the clock right?"
        )
        raise FetchFailed(what)
    if old is not None and issued < old.issued:
        what = f"{host}: sent the forecast of {stamp(issued)}, older than the one already here"
        raise FetchFailed(what)
    if batch.table.end < task.today:
        raise FetchFailed(f"{host}: its forecast ended on {batch.table.end}")


def _refresh_history(task: _Task, sources: Sources, from_year: int) -> Outcome:
    path = history_path(task.folder)
    ask = sources.history
    if ask is None:
        return _kept("history", path, task.now)
    old = _old(path)
    mine = old if old is not None and old.details.get(_STATION) == sources.station else None
    reaches = mine is not None and _year(mine) <= from_year
    if mine is not None and reaches and _fresh(mine, task.now):
        return Outcome(f"{describe('history', mine, task.now)}; {expiry_text(mine)}", True)
    first = dt.date(from_year, 1, 1)
    if mine is not None and reaches:
        first = max(first, mine.table.end - CORRECTED)
        from_year = _year(mine)
    try:
        batch = task.ask(lambda client: ask(client, first, task.today))
        table = batch.table if mine is None else merge_history(mine.table, batch.table, first)
        seconds = DEFAULT_FRESH_SECONDS if batch.fresh_seconds is None else batch.fresh_seconds
        details = {
            _SOURCE: batch.address, _STATION: sources.station, _FROM: str(from_year),
            **when(task.now, seconds),
        }  # fmt: skip
        keep(path, table, details)
    except FetchFailed as failure:
        return _kept("history", path, task.now, f"history not renewed: {failure}")
    return Outcome(describe("history", read_fetched(path), task.now), True)


def _kept(kind: str, path: Path, now: dt.datetime, trouble: str = "") -> Outcome:
    """What is there, unchanged."""
    try:
        there = read_forecast(path)
    except BadInput as error:
        also = f"{kind}: {error.problems[0]}"
        return Outcome(f"{kind}: none", False, f"{trouble}; {also}" if trouble else also)
    if there is None:
        return Outcome(f"{kind}: none", False, trouble)
    line = describe(kind, there, now)
    return Outcome(line, True, f"{trouble}; kept is the {line}" if trouble else "")


def _old(path: Path) -> Fetched | None:
    """The file that is there; None also if it cannot be read, for then it is to be replaced."""
    try:
        return read_forecast(path)
    except BadInput:
        return None


def _year(old: Fetched) -> int:
    given = old.details.get(_FROM, "")
    return int(given) if given.isdecimal() else old.table.first.year


def _fresh(old: Fetched, now: dt.datetime) -> bool:
    """Whether it need not be asked for again. Data from the future tell of a wrong clock: ask."""
    expires = old.time(EXPIRES)
    return expires is not None and old.fetched <= now < expires
