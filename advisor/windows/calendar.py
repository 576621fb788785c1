"""The chance of each day and each week to lie in a window, over the years of the place's record."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.model import Operation
from advisor.windows.interval import Intervals
from advisor.windows.tracks import Banned, Opening, Track, allowed, opening, tracks
from advisor.windows.truth_arrays import Series

Chances = NDArray[np.float64]

MOST_OF_A_WEEK = 4
"""Open on so many of its seven days, a week counts as open (chosen)."""


class WindowYear(Record, frozen=True):
    """One window in one season year.

    opening: dates, None if it opens in no member that can tell. days: chance of each day of the
    axis (days,). weeks: chance that most of a week is open, one for each week asked about. Both are
    NaN where no member can tell. known: members that can tell. beyond: it is still open at the end
    of the axis in some member, so its closing dates are not known.
    """

    track: Track
    opening: Opening | None
    days: Chances
    weeks: Chances
    known: int
    beyond: bool


def window_years(
    operation: Operation,
    facts: WeatherFacts,
    site: Mapping[str, Series | None],
    weeks: Sequence[dt.date],
    banned: Banned | None = None,
) -> Iterator[WindowYear]:
    """Each window of an operation in each season year that the weeks touch, without banned days.

    operation: resolved for its grass. weeks: first days of consecutive weeks, in order.
    """
    starts = np.array([facts.axis.index(day) for day in weeks], dtype=np.int64)
    length = facts.axis.shape[1]
    for window in operation.windows:
        whole = tracks(window, facts, site)
        for track in (part for one in whole for part in allowed(one, banned)):
            if track.last <= starts[0] or track.first >= starts[-1] + 7:
                continue
            found = track.found
            yield WindowYear(
                track=track,
                opening=opening(track, facts),
                days=chance_of_days(found, length),
                weeks=chance_of_weeks(found, starts),
                known=int(found.certain.sum()),
                beyond=track.last > length and bool((found.closes >= length).any()),
            )


def chance_of_days(found: Intervals, length: int) -> Chances:
    """Share of the members that can tell in which each of `length` days is open; (days,)."""
    opens, closes = found.opens[found.opened], found.closes[found.opened]
    change = np.bincount(opens, minlength=length + 1) - np.bincount(closes, minlength=length + 1)
    return _shares(np.cumsum(change)[:length], found)


def chance_of_weeks(found: Intervals, starts: NDArray[np.int64]) -> Chances:
    """Share of the members that can tell in which most of each week is open; (weeks,).

    starts: day index of each week's first day.
    """
    opens, closes = found.opens[found.opened], found.closes[found.opened]
    last = np.minimum(closes[:, None], starts + 7)
    open_days = last - np.maximum(opens[:, None], starts)
    return _shares((open_days >= MOST_OF_A_WEEK).sum(axis=0), found)


def _shares(counts: NDArray[np.int64], found: Intervals) -> Chances:
    known = int(found.certain.sum())
    if not known:
        return np.full(len(counts), np.nan)
    shares: Chances = counts / known
    return shares
