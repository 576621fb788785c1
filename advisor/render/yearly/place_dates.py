"""When a place freezes, warms up and cools down: dates by chance, from its own record.

Every autumn and every spring of the record gives one date. The season year starts at midsummer, so
1 August to 31 December is its days 41 to 193, in the north and, half a year later, in the south.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.base.dates import season_start
from advisor.base.record import Record, replace
from advisor.facts.fact import Lawn
from advisor.signals.freeze import (
    FREEZE_THRESHOLDS_C,
    FreezeDates,
    first_freeze,
    freeze_dates,
    last_freeze,
)
from advisor.signals.running import starts_run, trailing_mean
from advisor.signals.soil_temperature import soil_temperature
from advisor.weather.gaps import fill_gaps
from advisor.weather.seasons import MIDSUMMER_NORTH, MIDSUMMER_SOUTH, season_years
from advisor.weather.table import WeatherTable

CHANCES = (0.1, 0.5, 0.9)
AUTUMN = (41, 194)
"""1 August to 31 December in the north, the search of the NOAA NCEI freeze tables."""
SPRING = (194, 366)
"""1 January to midsummer."""
COOLING = (30, 270)
WARMING = (204, 366)
"""Soil: a month after midsummer to mid-March; three weeks after midwinter to midsummer."""
RUN_DAYS = 7
"""A soil temperature counts as reached when the 5-day mean stays there for a week (chosen)."""
COOLING_F = (72, 65, 55, 50, 40)
WARMING_F = (40, 50, 55)
"""Soil temperatures that published advice on sowing, weeds and dormancy names."""

Rows = NDArray[np.float64]
Kind = Literal["first_freeze", "last_freeze", "soil_under", "soil_over"]


class PlaceDate(Record, frozen=True):
    """An event that comes about once in a season year, and its dates.

    limit_c: its temperature, °C. start: the day that index 0 of `found` means in the season year
    asked about. before, never: seasons in which it was so from the first day of the search, or no
    day of it (for a last freeze: no freeze). seen: the dates of all other seasons, oldest first.
    this_season: the date in the season year asked about, if it has come.
    """

    kind: Kind
    limit_c: float
    start: dt.date
    found: FreezeDates
    before: int
    never: int
    seen: tuple[dt.date, ...]
    this_season: dt.date | None

    @property
    def by(self) -> tuple[dt.date | None, ...]:
        """The dates by which it has come in 1, 5 and 9 seasons of 10; None where none is known."""
        return tuple(self._date(quantile) for quantile in self.found.quantiles)

    @property
    def intervals(self) -> tuple[tuple[dt.date | None, dt.date | None], ...] | None:
        """90 % intervals of the three dates, for long records."""
        if self.found.intervals is None:
            return None
        return tuple((self._date(low), self._date(high)) for low, high in self.found.intervals)

    def _date(self, index: float) -> dt.date | None:
        return self.start + dt.timedelta(days=round(index)) if np.isfinite(index) else None


def place_dates(table: WeatherTable, on: dt.date, lawn: Lawn) -> tuple[PlaceDate, ...]:
    """Freeze dates and soil dates of the record as it stood on `on`; none before its first day."""
    if table.first > on:
        return ()
    known = table.until(on)
    events = (*_freezes(known, on, lawn), *_soil_dates(known, on, lawn))
    kinds = dict.fromkeys(event.kind for event in events)
    return tuple(
        event for kind in kinds for event in _in_order([e for e in events if e.kind == kind])
    )


def _in_order(events: list[PlaceDate]) -> Iterator[PlaceDate]:
    """Dates that a more extreme event cannot have: a first night of 28 °F does not come before one
    of 32 °F, though curves fitted to few years may cross.

    events: of one kind; each next one comes later, or for a last freeze earlier.
    """
    bound = np.maximum if events[0].kind != "last_freeze" else np.minimum
    before = np.array(events[0].found.quantiles)
    for event in events:
        # NaN, for too few years, stays what it is and bounds nothing.
        known = np.isfinite(before) & np.isfinite(event.found.quantiles)
        before = np.where(known, bound(before, event.found.quantiles), event.found.quantiles)
        yield replace(event, found=replace(event.found, quantiles=tuple(before.tolist())))


def _freezes(table: WeatherTable, on: dt.date, lawn: Lawn) -> Iterator[PlaceDate]:
    seasons = _Seasons(table, on, lawn.latitude)
    low = seasons.rows(table.column("air_min_c"))
    for limit in FREEZE_THRESHOLDS_C.values():
        autumn = first_freeze(low[:, slice(*AUTUMN)], limit)
        yield seasons.event("first_freeze", limit, AUTUMN[0], autumn)
    for limit in FREEZE_THRESHOLDS_C.values():
        spring = last_freeze(low[:, slice(*SPRING)], limit)
        yield seasons.event("last_freeze", limit, SPRING[0], spring)


def _soil_dates(table: WeatherTable, on: dt.date, lawn: Lawn) -> Iterator[PlaceDate]:
    seasons = _Seasons(table, on, lawn.latitude)
    filled = fill_gaps(table)
    soil = soil_temperature(
        filled.column("air_max_c"),
        filled.column("air_min_c"),
        climate=lawn.climate,
        offset_c=lawn.soil_offset_c,
    )
    mean = trailing_mean(soil, 5)
    for degrees in COOLING_F:
        limit = (degrees - 32) / 1.8
        run = starts_run(np.where(np.isnan(mean), np.nan, mean < limit), RUN_DAYS)
        dates = _first_day(seasons.rows(run)[:, slice(*COOLING)])
        yield seasons.event("soil_under", limit, COOLING[0], dates)
    for degrees in WARMING_F:
        limit = (degrees - 32) / 1.8
        run = starts_run(np.where(np.isnan(mean), np.nan, mean >= limit), RUN_DAYS)
        dates = _first_day(seasons.rows(run)[:, slice(*WARMING)])
        yield seasons.event("soil_over", limit, WARMING[0], dates)


def _first_day(happens: Rows) -> Rows:
    """Index of each season's first day with the event (1, 0, NaN); (seasons, days) -> (seasons,).

    -inf where it is so from the start, inf where it never comes; NaN for a season with an unknown
    day before it.
    """
    days = happens.shape[-1]
    came = happens == 1.0
    first = np.where(came.any(axis=-1), np.argmax(came, axis=-1), days)
    unknown = (np.isnan(happens) & (np.arange(days) < first[:, None])).any(axis=-1)
    date = np.where(first == 0, -np.inf, np.where(first == days, np.inf, first))
    return np.where(unknown, np.nan, date)


class _Seasons:
    """The record cut into season years of 366 days."""

    def __init__(self, table: WeatherTable, on: dt.date, latitude: float) -> None:
        start = MIDSUMMER_NORTH if latitude >= 0 else MIDSUMMER_SOUTH
        found = season_years(table, start)
        self._at = (found.days - table.days[0]).astype(np.int64)
        self._inside = found.inside
        self._starts: list[dt.date] = found.days[:, 0].tolist()
        self._current = season_start(on, latitude)

    def rows(self, values: Rows) -> Rows:
        """Daily values of the record as (seasons, 366), NaN outside it."""
        safe = np.clip(self._at, 0, len(values) - 1)
        return np.where(self._inside, values[safe], np.nan)

    def event(self, kind: Kind, limit: float, first: int, dates: Rows) -> PlaceDate:
        """The event from one day index a season, counted from day `first` of the season year."""
        seen = {
            start: start + dt.timedelta(days=first + int(index))
            for start, index in zip(self._starts, dates, strict=True)
            if np.isfinite(index)
        }
        return PlaceDate(
            kind=kind,
            limit_c=limit,
            start=self._current + dt.timedelta(days=first),
            found=freeze_dates(dates, CHANCES),
            before=int((dates == -np.inf).sum()),
            never=int((dates == np.inf).sum()),
            seen=tuple(seen.values()),
            this_season=seen.get(self._current),
        )
