"""A piece of work rehearsed on the place's years: does all of it go through on these free days?

Each year lends its weather. Each job gets a day on which it is in season, the weather lets people
work, no gate bars it, what comes before it is done, and there is time left. Where the run does not
hold all of it, the rest goes on to the next free days, the rain branch; a year in which something
finds none there either is lost.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from advisor.base.record import Record
from advisor.planning.fit_days import FitDays

End = Literal["through", "by_rain", "lost"]


class Piece(Record, frozen=True):
    """A job on a part. minutes: of one person. after: names of the jobs on the part before it.

    bars: whether a gate that can no longer be had forbids a day.
    """

    name: str
    fit: FitDays
    minutes: float
    after: frozenset[str]
    bars: Callable[[dt.date], bool]


class Year(Record, frozen=True):
    """How one year went. days: of each piece, None where it found none."""

    year: int
    end: End
    days: Mapping[str, dt.date | None]

    @property
    def undone(self) -> tuple[str, ...]:
        """The pieces that found no day."""
        return tuple(name for name, day in self.days.items() if day is None)


class Rehearsal(Record, frozen=True):
    """The years that can tell, in order."""

    years: tuple[Year, ...]

    def count(self, end: End) -> int:
        """How many years ended so."""
        return sum(year.end == end for year in self.years)

    @property
    def through(self) -> float:
        """The share of the years in which all of it went through in the run itself."""
        return self.count("through") / len(self.years)

    @property
    def saved(self) -> float:
        """The share of those in which it did so at last."""
        return 1 - self.count("lost") / len(self.years)

    @property
    def worst(self) -> Year:
        """The year that left most undone; of equals the one that took longest, then the first."""

        def badness(year: Year) -> tuple[int, dt.date]:
            done = [day for day in year.days.values() if day is not None]
            return len(year.undone), max(done, default=dt.date.min)

        return max(self.years, key=badness)


def rehearse(
    pieces: Sequence[Piece],
    run: Sequence[dt.date],
    spare: Sequence[dt.date],
    years: Sequence[int],
    index: Callable[[dt.date], int],
    minutes_on: Callable[[dt.date], float],
) -> Rehearsal | None:
    """pieces: in working order. run: the free days. spare: those of the rain branch, later ones.

    years: the name of each row of the tables. index: of a day in them. minutes_on: a day, of all
    people together. None where no year can tell, or a piece fits into no day at all.
    """
    if not pieces:
        return None
    days = [_Day(day, at) for day in (*run, *spare) if 0 <= (at := index(day)) < _width(pieces)]
    if not {*run} <= {day.date for day in days}:
        return None
    room = [minutes_on(day.date) for day in days]
    if max(piece.minutes for piece in pieces) > max(room):
        return None
    allowed = [[not piece.bars(day.date) for day in days] for piece in pieces]
    found = []
    for row, year in enumerate(years):
        if all(piece.fit.known[row, day.at] for piece in pieces for day in days):
            fits = [
                [may and bool(p.fit.in_season[row, d.at] & p.fit.can_work[row, d.at])
                 for may, d in zip(open_, days, strict=True)]
                for p, open_ in zip(pieces, allowed, strict=True)
            ]  # fmt: skip
            found.append(_one_year(year, pieces, days, fits, len(run), room))
    return Rehearsal(tuple(found)) if found else None


class _Day(Record, frozen=True):
    """at: its index in the tables."""

    date: dt.date
    at: int


def _one_year(
    year: int,
    pieces: Sequence[Piece],
    days: Sequence[_Day],
    fits: Sequence[Sequence[bool]],
    run: int,
    room: Sequence[float],
) -> Year:
    """run: how many of the days, the first, are its own. room: minutes of each."""
    before = [[i for i, p in enumerate(pieces) if p.name in piece.after] for piece in pieces]
    minutes = [piece.minutes for piece in pieces]
    placed, end = placing(fits, before, minutes, room[:run]), "through"
    if None in placed:
        placed, end = placing(fits, before, minutes, room), "by_rain"
    named = zip(pieces, placed, strict=True)
    done = {p.name: None if at is None else days[at].date for p, at in named}
    return Year(year, "lost" if None in placed else end, done)  # type: ignore[arg-type]


def placing(
    fits: Sequence[Sequence[bool]],
    before: Sequence[Sequence[int]],
    minutes: Sequence[float],
    room: Sequence[float],
) -> list[int | None]:
    """A day for each piece, if there is a way to give each one; else as far as the soonest go.

    fits: by piece and day. before: of each piece those that must have a day no later, which come
    before it in order. room: the minutes of each day. What follows on a piece that has none has
    none either.
    """
    soonest = _soonest(fits, before, minutes, room)
    if None not in soonest or None in _soonest(fits, before, [0.0] * len(fits), room):
        return soonest
    left, placed = list(room), list[int | None]()

    def rest() -> bool:
        i = len(placed)
        if i == len(fits):
            return True
        first = max((placed[j] or 0 for j in before[i]), default=0)
        for day in range(first, len(room)):
            if fits[i][day] and left[day] >= minutes[i]:
                left[day] -= minutes[i]
                placed.append(day)
                if rest():
                    return True
                placed.pop()
                left[day] += minutes[i]
        return False

    return placed if rest() else soonest


def _soonest(
    fits: Sequence[Sequence[bool]],
    before: Sequence[Sequence[int]],
    minutes: Sequence[float],
    room: Sequence[float],
) -> list[int | None]:
    """Each piece on the first day that has room for it."""
    left, placed = list(room), list[int | None]()
    for i, takes in enumerate(minutes):
        earlier = [placed[j] for j in before[i]]
        first = len(room) if None in earlier else max((day or 0 for day in earlier), default=0)
        open_ = (d for d in range(first, len(room)) if fits[i][d] and left[d] >= takes)
        day = next(open_, None)
        if day is not None:
            left[day] -= takes
        placed.append(day)
    return placed


def _width(pieces: Sequence[Piece]) -> int:
    return min(int(piece.fit.in_season.shape[1]) for piece in pieces)
