"""A window in each season year of a place, and the chance of each day to lie in it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record, replace
from advisor.decide.windows.interval import (
    NEVER,
    Intervals,
    Series,
    Spread,
    TruthArray,
    find_intervals,
    spread_of,
    truth_array,
)
from advisor.facts.axis import SeasonDays
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import Condition, facts_of
from advisor.rulebook.model import Boundary, Operation, Window


class Track(Record, frozen=True):
    """One window in one season year on all members, sought between day indices first and last."""

    window: Window
    season: int
    first: int
    last: int
    found: Intervals


Banned = NDArray[np.bool_]
"""Whether the law forbids the work on each day of an axis; (days,)."""
ALL_YEAR_DAYS = 360


class Opening(Record, frozen=True):
    """One window in one season year, over the members that know it.

    opens: first open day. closes: last open day. years: members behind the dates. never: members
    in which it does not open. unknown: members that cannot tell.
    """

    window: Window
    season: int
    opens: Spread
    closes: Spread
    years: int
    never: int
    unknown: int

    @property
    def all_year(self) -> bool:
        """Whether it is open as good as always, so that its first and last day say nothing."""
        return (self.closes.p50 - self.opens.p50).days >= ALL_YEAR_DAYS


def tracks(
    window: Window, facts: WeatherFacts, site: Mapping[str, Series | None]
) -> Iterator[Track]:
    """The window in each season year that touches the axis, oldest first.

    site: values of facts that vary with the site, the same on all days.
    """
    opens = tree_on_axis(window.opens, facts, site)
    closes = None if window.closes is None else tree_on_axis(window.closes, facts, site)
    for season in facts.seasons:
        first, last = boundary(window.after, season), boundary(window.until, season)
        found = find_intervals(opens, closes, first, last, window.held, window.closes_held)
        yield Track(window, season.year, first, last, found)


def allowed(track: Track, banned: Banned | None) -> Iterator[Track]:
    """The parts of a window that no ban covers: before, between and after the bans."""
    if banned is None:
        yield track
        return
    first, last = max(track.first, 0), min(track.last, len(banned))
    if not banned[first : max(last, 0)].any():
        yield track
        return
    for forbidden, days in groupby(range(first, last), key=lambda day: bool(banned[day])):
        if forbidden:
            continue
        part = list(days)
        start = track.first if part[0] == first else part[0]
        end = track.last if part[-1] + 1 == last else part[-1] + 1
        yield replace(track, first=start, last=end, found=_between(track.found, start, end))


def _between(found: Intervals, first: int, last: int) -> Intervals:
    """The intervals as far as they lie in the days from first to last; none of them is NEVER."""
    opens, closes = np.maximum(found.opens, first), np.minimum(found.closes, last)
    empty = opens >= closes
    return Intervals(
        np.where(found.opened, np.where(empty, NEVER, opens), found.opens),
        np.where(found.opened, np.where(empty, NEVER, closes), found.closes),
    )


def boundary(edge: Boundary, season: SeasonDays) -> int:
    """The day index of a window's edge in a season year."""
    anchor: int = getattr(season, edge.anchor)
    return anchor + edge.plus


def tree_on_axis(
    tree: Condition, facts: WeatherFacts, site: Mapping[str, Series | None]
) -> TruthArray:
    """A tree's truth on all members and days."""
    series: dict[str, Series | None] = {
        name: site[name] if name in site else facts.series(name) for name in facts_of(tree)
    }
    return truth_array(tree, series, facts.axis.shape)


def opening(track: Track, facts: WeatherFacts) -> Opening | None:
    """When the window opens and closes; None if it opens in no member that can tell."""
    found = track.found
    if not found.opened.any():
        return None
    return Opening(
        window=track.window,
        season=track.season,
        opens=_within(spread_of(found.opens[found.opened], facts.axis), track, facts),
        closes=_within(spread_of(found.closes[found.opened] - 1, facts.axis), track, facts),
        years=int(found.opened.sum()),
        never=int((found.certain & ~found.opened).sum()),
        unknown=int((~found.certain).sum()),
    )


def _within(spread: Spread, track: Track, facts: WeatherFacts) -> Spread:
    """The spread without what a curve through few years puts outside the days of the window."""
    first, last = facts.axis.date(track.first), facts.axis.date(track.last - 1)
    return Spread(*(min(max(day, first), last) for day in (spread.p10, spread.p50, spread.p90)))


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
