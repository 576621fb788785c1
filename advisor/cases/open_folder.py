"""A case from a site's folder: site, journal, weather, and what was kept there."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import cache, partial
from pathlib import Path
from typing import TypeVar

from advisor.base.commands import typed_folder
from advisor.base.dates import today
from advisor.base.problems import BadInput, Problems
from advisor.cases.case import Case, Kept
from advisor.facts.day import OTHER_WORK
from advisor.records.journal import read_journal
from advisor.records.kept import last_kept, read_plan
from advisor.records.read_site import JOURNAL_FILE, read_site
from advisor.rulebook.model import RuleBook
from advisor.weather.gaps import NORMALS_FILE
from advisor.weather.join import join
from advisor.weather.kept_weather import (
    forecast_path,
    history_path,
    read_forecast,
    read_history,
    read_kept_weather,
    weather_path,
)

T = TypeVar("T")


def open_case(folder: Path, book: RuleBook, on: dt.date | None = None) -> Case:
    """Read a site's folder. Raises `BadInput` with the problems of all its files at once.

    on: the day asked about; today where the lawn lies, if it is left out. "From the future" is
    meant after the real clock, whatever day that is.
    """
    problems = Problems()

    def attempt(read: Callable[[], T]) -> T | None:
        try:
            return read()
        except BadInput as error:
            problems.take(error)
            return None

    # The site file may hold the time zone that says what today is; a day's grace is harmless.
    now = today() + dt.timedelta(days=1)
    site = attempt(lambda: read_site(folder, book.grasses, now))
    zone_today = today(site.place.time_zone) if site is not None else now
    areas = site.area_names if site is not None else None
    work = frozenset(book.operations) | OTHER_WORK
    journal = attempt(
        lambda: read_journal(folder / JOURNAL_FILE, book.vocabulary, work, zone_today, areas)
    )
    weather = normals = None
    record = attempt(lambda: weather_path(folder))
    # How to read the record stands in the site file; without it every message could mislead.
    if record is not None and site is not None:
        units, columns = site.weather_units, site.weather_columns
        weather = attempt(lambda: read_kept_weather(record, units, zone_today, columns))
    history = attempt(lambda: read_history(history_path(folder), zone_today))
    forecast = attempt(lambda: read_forecast(forecast_path(folder)))
    if (folder / NORMALS_FILE).is_file():
        from advisor.weather.read_normals import read_normals

        normals = attempt(lambda: read_normals(folder / NORMALS_FILE))
    problems.raise_if_any()
    assert site is not None
    assert journal is not None
    if history is not None or forecast is not None:
        weather = join(weather, history, forecast, site.place.time_zone)
    # Once read they stay, so that all views of a case see the same.
    kept = Kept(cache(partial(read_plan, folder)), cache(partial(last_kept, folder)))
    name, past = str(folder), on if on is not None and on < zone_today else None
    typed = typed_folder(folder)
    return Case(on or zone_today, name, site, journal, weather, normals, book, kept, typed, past)
