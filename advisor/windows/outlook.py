"""An operation's windows on every member: which is open today, and when the others are.

Each member tells one possible course of the season. What they agree on is said as a chance.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.facts.season_days import SeasonDays
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import Condition, facts_of
from advisor.rulebook.model import Boundary, Operation, Window
from advisor.windows.interval import NEVER, UNCERTAIN, Intervals, find_intervals
from advisor.windows.truth_arrays import TRUE, Series, TruthArray, truth_array

WindowState = Literal["before", "open", "over", "unknown"]

ENOUGH_YEARS = 20
Z90 = 1.2815515655446004
"""The 90 % point of the standard normal distribution."""


@dataclass(frozen=True)
class Spread:
    """The dates by which something has happened in 1, 5 and 9 members of 10."""

    p10: dt.date
    p50: dt.date
    p90: dt.date


@dataclass(frozen=True)
class Opening:
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


@dataclass(frozen=True)
class Outlook:
    """The state of an operation's windows on the day asked about.

    state: what most members say. chance: share of the members that know, in that state.
    current: the window that is open, or was last, or comes next, as `state` says. later: the
    openings that come after today, soonest first, best liked of each season first. best: whether
    today is graded best in most members.
    """

    state: WindowState
    chance: float | None
    current: Opening | None
    later: tuple[Opening, ...]
    best: bool
    members: int


@dataclass(frozen=True)
class _Track:
    """One window in one season year on all members, sought between day indices first and last."""

    window: Window
    season: int
    first: int
    last: int
    found: Intervals


def outlook(
    operation: Operation, facts: WeatherFacts, site: Mapping[str, Series | None]
) -> Outlook:
    """The windows of an operation, resolved for its grass, on the facts' axis.

    site: values of facts that vary with the site, the same on all days.
    """
    tracks = [t for window in operation.windows for t in _tracks(window, facts, site)]
    members = facts.axis.shape[0]
    said = Counter(_state(tracks, member, facts.axis.today) for member in range(members))
    known = {key: count for key, count in said.items() if key[0] != "unknown"}
    later = _later(tracks, facts)
    if sum(known.values()) * 2 < members:
        return Outlook("unknown", None, None, later, best=False, members=members)
    words: Counter[WindowState] = Counter()
    for (word, _), count in known.items():
        words[word] += count
    # A tie goes to the more cautious word: over before open before not yet.
    state = max(words, key=lambda word: (words[word], _CAUTION[word]))
    usual = max((key for key in known if key[0] == state), key=lambda key: known[key])
    track = tracks[usual[1]]
    return Outlook(
        state=state,
        chance=words[state] / sum(words.values()),
        current=_opening(track, facts),
        later=later,
        best=state == "open" and _is_best(track.window, facts, site),
        members=members,
    )


_CAUTION: dict[WindowState, int] = {"over": 2, "open": 1, "before": 0, "unknown": -1}


def _tracks(
    window: Window, facts: WeatherFacts, site: Mapping[str, Series | None]
) -> Iterator[_Track]:
    opens = tree_on_axis(window.opens, facts, site)
    closes = None if window.closes is None else tree_on_axis(window.closes, facts, site)
    for season in facts.seasons:
        first, last = boundary(window.after, season), boundary(window.until, season)
        found = find_intervals(opens, closes, first, last, window.held, window.closes_held)
        yield _Track(window, season.year, first, last, found)


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


def _state(tracks: list[_Track], member: int, today: int) -> tuple[WindowState, int]:
    """What one member says of today, and the track it speaks of.

    Open: the best liked of the open windows. Otherwise `over` up to halfway between the last
    closing and the next opening, `before` from then on.
    """
    open_now: list[tuple[int, int]] = []
    ended: list[tuple[int, int]] = []
    coming: list[tuple[int, int]] = []
    for i, track in enumerate(tracks):
        opens, closes = int(track.found.opens[member]), int(track.found.closes[member])
        if UNCERTAIN in (opens, closes):
            if track.first <= today < track.last:
                return "unknown", i
        elif opens == NEVER:
            continue
        elif opens <= today < closes:
            open_now.append((track.window.prefer, i))
        elif closes <= today:
            ended.append((closes, i))
        else:
            coming.append((opens, i))
    if open_now:
        return "open", min(open_now)[1]
    if not coming:
        return ("over", max(ended)[1]) if ended else ("unknown", -1)
    if ended and today < (max(ended)[0] + min(coming)[0]) / 2:
        return "over", max(ended)[1]
    return "before", min(coming)[1]


def _opening(track: _Track, facts: WeatherFacts) -> Opening | None:
    found = track.found
    if not found.opened.any():
        return None
    return Opening(
        window=track.window,
        season=track.season,
        opens=_spread(found.opens[found.opened], facts),
        closes=_spread(found.closes[found.opened] - 1, facts),
        years=int(found.opened.sum()),
        never=int((found.certain & ~found.opened).sum()),
        unknown=int((~found.certain).sum()),
    )


def _later(tracks: list[_Track], facts: WeatherFacts) -> tuple[Opening, ...]:
    """Openings after today that at least half of the members which know them have."""
    today = facts.axis.date(facts.axis.today)
    found = (_opening(track, facts) for track in tracks)
    coming = (o for o in found if o is not None and o.opens.p50 > today and o.years >= o.never)
    return tuple(sorted(coming, key=lambda o: o.opens.p50))


def _is_best(window: Window, facts: WeatherFacts, site: Mapping[str, Series | None]) -> bool:
    if window.best is None:
        return True
    today = tree_on_axis(window.best, facts, site)[:, facts.axis.today]
    return int((today == TRUE).sum()) * 2 > len(today)


def _spread(indices: NDArray[np.int64], facts: WeatherFacts) -> Spread:
    low, middle, high = (facts.axis.date(round(q)) for q in date_quantiles(indices))
    return Spread(low, middle, high)


def date_quantiles(indices: NDArray[np.int64]) -> tuple[float, float, float]:
    """The 10, 50 and 90 % points of some days.

    From 20 years on between order statistics (Hyndman and Fan 1996, type 7); with fewer, of a
    normal curve through their mean and spread, whose 10 % date was the steadier one for small
    samples (derived: freeze dates of two places resampled).
    """
    days = indices.astype(np.float64)
    if len(days) >= ENOUGH_YEARS:
        low, middle, high = np.quantile(days, (0.1, 0.5, 0.9))
        return float(low), float(middle), float(high)
    mean = float(days.mean())
    spread = float(days.std(ddof=1)) if len(days) > 1 else 0.0
    return mean - Z90 * spread, mean, mean + Z90 * spread
