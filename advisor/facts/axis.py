"""The axis of days on which weather facts are computed, and where its years turn.

One row (member) for each past season year that the record can lend: this year's days so far,
followed by that year's days. Without such years, monthly normals stand in as one rough member, or
else the monthly means of the record itself if it holds all months; without either, the days to come
are unknown.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Hashable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from advisor.base.dates import season_start
from advisor.base.record import Record
from advisor.weather.gaps import MonthlyNormals, fill_gaps, typical_days
from advisor.weather.own_normals import own_normals
from advisor.weather.seasons import MIDSUMMER_NORTH, MIDSUMMER_SOUTH, foreseen, members
from advisor.weather.table import WeatherTable

_NORTH = ((6, 21), (9, 22), (12, 21), (3, 20))
_SOUTH = ((12, 21), (3, 20), (6, 21), (9, 22))


class SeasonDays(Record, frozen=True):
    """Indices of the turning days on the axis; they may lie outside it. year: of midsummer.

    Solstices and equinoxes as calendar dates of the common year, which are within a day.
    """

    year: int
    midsummer: int
    autumn_equinox: int
    midwinter: int
    spring_equinox: int
    next_midsummer: int


def season_days(axis: Axis, latitude: float) -> tuple[SeasonDays, ...]:
    """The season years that share a day with the axis, oldest first."""
    first = season_start(axis.date(0), latitude)
    last = axis.date(len(axis.days) - 1)
    turns = _NORTH if latitude >= 0 else _SOUTH
    return tuple(
        _season(axis, year, turns)
        for year in range(first.year, last.year + 1)
        if dt.date(year, *turns[0]) <= last
    )


def days_lengthen(seasons: Iterable[SeasonDays], shape: tuple[int, int]) -> Values:
    """1 from midwinter to midsummer, 0 in the other half of the year; shape (members, days)."""
    out = np.full(shape, np.nan)
    for season in seasons:
        turns = (season.midsummer, season.midwinter, season.next_midsummer)
        first, middle, last = (max(turn, 0) for turn in turns)
        out[:, first:middle], out[:, middle:last] = 0.0, 1.0
    return out


def _season(axis: Axis, year: int, turns: tuple[tuple[int, int], ...]) -> SeasonDays:
    start = dt.date(year, *turns[0])
    dates = [start]
    for month, day in (*turns[1:], turns[0]):
        later = dt.date(dates[-1].year, month, day)
        if later <= dates[-1]:
            later = later.replace(year=later.year + 1)
        dates.append(later)
    indices = [axis.index(date) for date in dates]
    return SeasonDays(year, *indices)


Days = NDArray[np.datetime64]
Values = NDArray[np.float64]
Basis = Literal["record", "normals", "observed"]

HORIZON_DAYS = 500
"""Reaches past the midwinter after the next autumn, whatever the day."""
LEAD_DAYS = 75
"""Before the first season year: fills a 30-day trailing mean of modelled soil temperature."""


@dataclass(frozen=True)
class Axis:
    """days: datetime64 (days,). columns: canonical weather column → (members, days), NaN unknown.

    today: index of the day asked about. observed: how many leading days are the place's own.
    foreseen: from and up to which day a forecast goes; 0, 0 without one. years: names of the past
    season years lent. basis: where the days to come are from. memo: what has been computed on this
    axis already, by what else it depends on.
    """

    days: Days
    columns: Mapping[str, Values]
    today: int
    observed: int
    years: tuple[int, ...]
    basis: Basis
    foreseen: tuple[int, int] = (0, 0)
    memo: dict[Hashable, dict[str, Any]] = field(default_factory=dict, compare=False, repr=False)

    @property
    def told(self) -> int:
        """How many leading days are own ones or lie no later than the last of a forecast."""
        return max(self.observed, self.foreseen[1])

    def knows(self, index: int) -> bool:
        """Whether the weather of a day was observed or is forecast."""
        return index < self.observed or self.foreseen[0] <= index < self.foreseen[1]

    @property
    def shape(self) -> tuple[int, int]:
        return self.columns["air_max_c"].shape[0], len(self.days)

    def date(self, index: int) -> dt.date:
        """The calendar date of an index, also outside the axis."""
        first: dt.date = self.days[0].astype(object)
        return first + dt.timedelta(days=int(index))

    def index(self, day: dt.date) -> int:
        """The index of a calendar date, also outside the axis."""
        first: dt.date = self.days[0].astype(object)
        return (day - first).days


def build_axis(
    table: WeatherTable | None,
    normals: MonthlyNormals | None,
    on: dt.date,
    latitude: float,
    *,
    exclude_year: int | None = None,
    later_years_too: bool = False,
) -> Axis | None:
    """The axis for a day, or None where there is neither a record nor normals.

    Weather after `on` is hidden unless `later_years_too`, which is for judging past years.
    Gaps in the temperatures are filled after the hiding.
    """
    back = (on - season_start(on, latitude)).days + 366 + LEAD_DAYS
    known = None if table is None or table.first > on else table
    if known is not None:
        known = fill_gaps(known if later_years_too else known.until(on))
        axis = _from_record(known, on, back, latitude, exclude_year, later_years_too)
        if not axis.years and normals is None and exclude_year is None:
            normals = own_normals(known)
        if axis.years or normals is None:
            return axis
    if normals is None:
        return None
    return _from_normals(known, normals, on, back)


def _from_record(
    table: WeatherTable,
    on: dt.date,
    back: int,
    latitude: float,
    exclude_year: int | None,
    later_years_too: bool,
) -> Axis:
    start = MIDSUMMER_NORTH if latitude >= 0 else MIDSUMMER_SOUTH
    found = members(
        table,
        on,
        HORIZON_DAYS,
        back,
        start=start,
        exclude_year=exclude_year,
        later_years_too=later_years_too,
    )
    if found.years:
        return Axis(
            found.days, found.columns, back - 1, found.observed, found.years, "record",
            found.foreseen,
        )  # fmt: skip
    columns = {
        name: _placed(values, table, found.days)[None, :] for name, values in table.columns.items()
    }
    return Axis(found.days, columns, back - 1, found.observed, (), "observed", found.foreseen)


def _from_normals(
    table: WeatherTable | None, normals: MonthlyNormals, on: dt.date, back: int
) -> Axis:
    first, last = on - dt.timedelta(days=back - 1), on + dt.timedelta(days=HORIZON_DAYS)
    typical = typical_days(normals, first, last)
    columns = {name: values.copy() for name, values in typical.columns.items()}
    observed, ahead = 0, (0, 0)
    if table is not None:
        for name in columns:
            own = _placed(table.columns[name], table, typical.days)
            columns[name] = np.where(np.isnan(own), columns[name], own)
        if table.last is not None:
            observed = int(np.count_nonzero(typical.days <= np.datetime64(table.last)))
        ahead = foreseen(table, typical.days[0])
    rows = {name: values[None, :] for name, values in columns.items()}
    return Axis(typical.days, rows, back - 1, observed, (), "normals", ahead)


def _placed(values: Values, table: WeatherTable, days: Days) -> Values:
    """A column of the table laid on other days; NaN outside the record."""
    at = (days - table.days[0]).astype(np.int64)
    inside = (at >= 0) & (at < len(table))
    return np.where(inside, values[np.clip(at, 0, len(table) - 1)], np.nan)
