"""A record cut into season years, and the members of an ensemble: this year so far + each past one.

A forecast belongs to this year: all members share it, and borrow only what it leaves open.

A season year starts at local midsummer (`start`, 21 June or 21 December) and is named by the
calendar year in which it starts.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record
from advisor.weather.table import Days, Fill, Values, WeatherTable


def same_day(days: Days, years_later: int | NDArray[np.int64]) -> Days:
    """Each day moved by whole calendar years; 29 February becomes the 28th where it must.

    days and years_later (negative: earlier) broadcast against each other.
    """
    months = days.astype("datetime64[M]")
    of_month = (days - months.astype("datetime64[D]")).astype(np.int64)
    moved = months + 12 * np.asarray(years_later)
    following = (moved + np.timedelta64(1, "M")).astype("datetime64[D]")
    length = (following - moved.astype("datetime64[D]")).astype(np.int64)
    result: Days = moved.astype("datetime64[D]") + np.minimum(of_month, length - 1)
    return result


def calendar_years(days: Days) -> NDArray[np.int64]:
    """The calendar year of each day."""
    years: NDArray[np.int64] = days.astype("datetime64[Y]").astype(np.int64) + 1970
    return years


MIDSUMMER_NORTH = (6, 21)
MIDSUMMER_SOUTH = (12, 21)
MonthDay = tuple[int, int]


class SeasonYears(Record, frozen=True):
    """years: names (years,). days: datetime64 (years, days). columns: name → (years, days),
    NaN outside the record. inside: whether the record holds the day, known or not."""

    years: tuple[int, ...]
    days: Days
    columns: Mapping[str, Values]
    inside: NDArray[np.bool_]


class Members(Record, frozen=True):
    """years: the past season year that each member borrows from (members,).

    days: the axis of this year, datetime64 (days,). columns: name → (members, days).
    observed: how many leading days are this year's own, the same in all members. foreseen: the days
    from and up to which a forecast goes, which all share too; 0, 0 without one.
    """

    years: tuple[int, ...]
    days: Days
    columns: Mapping[str, Values]
    observed: int
    foreseen: tuple[int, int]


def season_years(
    table: WeatherTable,
    start: MonthDay = MIDSUMMER_NORTH,
    length: int = 366,
    spin_up_days: int = 0,
) -> SeasonYears:
    """All season years that share a day with the record.

    Row `i` begins `spin_up_days` before the start of `years[i]` and has spin_up_days + length days.
    """
    first, last = _season_of(table.first, start), _season_of(table.end, start)
    names = np.arange(first, last + 1)
    starts = _starts(names, start)
    days = starts[:, None] + np.arange(-spin_up_days, length)
    at = (days - table.days[0]).astype(np.int64)
    inside = (at >= 0) & (at < len(table))
    safe = np.clip(at, 0, len(table) - 1)
    columns = {
        name: np.where(inside, values[safe], np.nan) for name, values in table.columns.items()
    }
    return SeasonYears(tuple(int(n) for n in names), days, columns, inside)


def members(
    table: WeatherTable,
    on: dt.date,
    horizon_days: int,
    spin_up_days: int,
    *,
    start: MonthDay = MIDSUMMER_NORTH,
    exclude_year: int | None = None,
    later_years_too: bool = False,
) -> Members:
    """This year's days up to `on`, followed by the days after `on` of each past season year.

    The axis runs from `spin_up_days - 1` days before `on` to `horizon_days` after it. A past year
    serves if the record holds all of its days, from the day after `on` on, by `on` itself: a
    record with less than one full past year gives no members. Days borrowed keep their calendar
    date (29 February borrows the 28th where a year has none). If the newest observation is older
    than `on`, borrowing starts the day after it. `exclude_year` leaves one season year out;
    `later_years_too` also borrows from years after `on`, for judging past forecasts only.
    Raises `ValueError` for a horizon under one day or a spin-up under one day.
    """
    if horizon_days < 1 or spin_up_days < 1:
        raise ValueError("horizon and spin-up are at least one day")
    today = np.datetime64(on)
    days = today + np.arange(1 - spin_up_days, horizon_days + 1)
    # Nothing was observed where there is a forecast alone: then no day is this year's own.
    newest = np.datetime64(min(on, table.last or table.first - dt.timedelta(days=1)))
    observed = int(np.count_nonzero(days <= newest))
    own, borrowed = days[:observed], days[observed:]
    season = _season_of(on, start)
    shifts = _possible_shifts(table, season, start)
    candidates = same_day(borrowed, shifts[:, None])
    limit = table.days[-1] if later_years_too else min(today, table.days[-1])
    fits = (candidates >= table.days[0]).all(axis=1) & (candidates <= limit).all(axis=1)
    if exclude_year is not None:
        fits &= season + shifts != exclude_year
    candidates, shifts = candidates[fits], shifts[fits]
    at_own = (own - table.days[0]).astype(np.int64)
    at = (candidates - table.days[0]).astype(np.int64)
    columns = {}
    for name, values in table.columns.items():
        part = np.where(at_own >= 0, values[np.maximum(at_own, 0)], np.nan)
        ahead = _foreseen(table, name, borrowed)
        lent = np.where(np.isnan(ahead), values[at], ahead)
        columns[name] = np.hstack([np.tile(part, (len(shifts), 1)), lent])
    names = tuple(int(season + s) for s in shifts)
    return Members(names, days, columns, observed, foreseen(table, days[0]))


def foreseen(table: WeatherTable, start: np.datetime64) -> tuple[int, int]:
    """Where the forecast of a table begins and ends on days that begin with `start`; else 0, 0."""
    if table.forecast_from is None:
        return 0, 0
    ahead = (np.array([table.forecast_from, table.end], "datetime64[D]") - start).astype(int)
    return max(int(ahead[0]), 0), max(int(ahead[1]) + 1, 0)


def _foreseen(table: WeatherTable, name: str, days: Days) -> Values:
    """The forecast of a column (days,), with the gap before it where that was interpolated."""
    usable = table.forecast.copy()
    if table.forecast_from is not None:
        usable |= table.filled[name] == Fill.INTERPOLATED
    at = (days - table.days[0]).astype(np.int64)
    safe = np.clip(at, 0, len(table) - 1)
    there = (at >= 0) & (at < len(table)) & usable[safe]
    return np.where(there, table.columns[name][safe], np.nan)


def _possible_shifts(table: WeatherTable, season: int, start: MonthDay) -> NDArray[np.int64]:
    first, last = _season_of(table.first, start), _season_of(table.end, start)
    shifts = np.arange(first, last + 1) - season
    others: NDArray[np.int64] = shifts[shifts != 0]
    return others


def _starts(years: NDArray[np.int64], start: MonthDay) -> Days:
    months = ((years - 1970) * 12 + start[0] - 1).astype("datetime64[M]")
    firsts = months.astype("datetime64[D]").astype(np.int64)
    starts: Days = (firsts + start[1] - 1).astype("datetime64[D]")
    return starts


def _season_of(day: dt.date, start: MonthDay) -> int:
    return day.year if (day.month, day.day) >= start else day.year - 1
