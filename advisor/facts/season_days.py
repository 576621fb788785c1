"""Where the turning days of each season year lie on an axis of days."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np

from advisor.base.dates import season_start
from advisor.base.record import Record
from advisor.facts.axis import Axis, Values

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
