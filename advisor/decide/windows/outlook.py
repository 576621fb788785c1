"""An operation's windows on every member: which is open today, and when the others are.

Each member tells one possible course of the season. What they agree on is said as a chance.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Mapping
from typing import Literal

from advisor.base.record import Record, replace
from advisor.decide.windows.interval import NEVER, TRUE, UNCERTAIN, Series, Spread
from advisor.decide.windows.tracks import (
    Banned,
    Opening,
    Track,
    allowed,
    opening,
    tracks,
    tree_on_axis,
)
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.model import Operation, Window

WindowState = Literal["before", "open", "over", "unknown"]


class Outlook(Record, frozen=True):
    """The state of an operation's windows on the day asked about.

    state: what most members say. chance: share of the members that know, in that state.
    current: the window that is open, or was last, or comes next, as `state` says; None too where it
    is over because it opens in no year. later: the
    openings that come after today, soonest first, best liked of each season first. best: whether
    today is graded best in most members. whole: the current one as the weather has it, with
    the days on which something forbids the work; no date of `current` and `later` is one of them.
    """

    state: WindowState
    chance: float | None
    current: Opening | None
    later: tuple[Opening, ...]
    best: bool
    members: int
    whole: Opening | None = None


def outlook(
    operation: Operation,
    facts: WeatherFacts,
    site: Mapping[str, Series | None],
    banned: Banned | None = None,
) -> Outlook:
    """The windows of an operation, resolved for its grass, on the facts' axis.

    site: values of facts that vary with the site, the same on all days. banned: the days on which
    the law forbids it. On one of them a window that the weather leaves open counts as open, so that
    the ban is told and not a missed season.
    """
    whole = [t for window in operation.windows for t in tracks(window, facts, site)]
    found = [part for track in whole for part in allowed(track, banned)]
    if banned is not None and banned[facts.axis.today]:
        return _during_a_ban(facts, site, whole, found)
    return _outlook(found, facts, site)


def _during_a_ban(
    facts: WeatherFacts,
    site: Mapping[str, Series | None],
    whole: list[Track],
    found: list[Track],
) -> Outlook:
    """What the weather says of today, with the dates of the days that no ban covers."""
    free, lawful = _outlook(whole, facts, site), _outlook(found, facts, site)
    if free.state != "open" or free.current is None:
        return lawful
    mine = [o for track in found if (o := opening(track, facts)) is not None]
    same = [o for o in mine if (o.window, o.season) == (free.current.window, free.current.season)]
    today = facts.axis.date(facts.axis.today)
    ahead = [o for o in same if o.closes.p50 > today]
    current = next(iter([*ahead, *same[::-1]]), None)
    return replace(free, current=current, later=lawful.later, best=False, whole=free.current)


def _outlook(found: list[Track], facts: WeatherFacts, site: Mapping[str, Series | None]) -> Outlook:
    """The outlook that some windows give."""
    members = facts.axis.shape[0]
    said = Counter(_state(found, member, facts.axis.today) for member in range(members))
    known = {key: count for key, count in said.items() if key[0] != "unknown"}
    later = _later(found, facts)
    if sum(known.values()) * 2 < members:
        return Outlook("unknown", None, None, later, best=False, members=members)
    words: Counter[WindowState] = Counter()
    for (word, _), count in known.items():
        words[word] += count
    # A tie goes to the more cautious word: over before open before not yet.
    state = max(words, key=lambda word: (words[word], _CAUTION[word]))
    usual = max((key for key in known if key[0] == state), key=lambda key: known[key])
    if usual[1] == _NONE:
        return Outlook(state, words[state] / sum(words.values()), None, later, False, members)
    track = found[usual[1]]
    return Outlook(
        state=state,
        chance=words[state] / sum(words.values()),
        current=opening(track, facts),
        later=later,
        best=state == "open" and _is_best(track.window, facts, site),
        members=members,
        whole=opening(track, facts),
    )


def not_before(seen: Outlook, day: dt.date) -> Outlook:
    """The outlook with no opening before a day on which what forbids the work ends.

    A season that is over by then is left out. What is open today keeps its dates: it closes as it
    does, whatever stands in the way.
    """
    later = tuple(kept for o in seen.later if (kept := _from(o, day)) is not None)
    current = seen.current
    if current is not None and seen.state == "before":
        current = _from(current, day)
    later = tuple(sorted(later, key=lambda o: o.opens.p50))
    return replace(seen, current=current, later=later)


def _from(found: Opening, day: dt.date) -> Opening | None:
    """An opening that begins on a day at the soonest; None if it closes before."""
    if found.closes.p50 < day:
        return None
    opens, closes = (
        Spread(*(max(date, day) for date in (spread.p10, spread.p50, spread.p90)))
        for spread in (found.opens, found.closes)
    )
    return replace(found, opens=opens, closes=closes)


_CAUTION: dict[WindowState, int] = {"over": 2, "open": 1, "before": 0, "unknown": -1}


_NONE = -1


def _without_season(found: list[Track], member: int) -> tuple[WindowState, int]:
    """Over where the record knows that no window opens in a year like this; else unknown."""
    never = found and all(int(track.found.opens[member]) == NEVER for track in found)
    return ("over" if never else "unknown"), _NONE


def _state(found: list[Track], member: int, today: int) -> tuple[WindowState, int]:
    """What one member says of today, and the track it speaks of.

    Open: the best liked of the open windows. Otherwise `over` up to halfway between the last
    closing and the next opening, `before` from then on.
    """
    open_now: list[tuple[int, int]] = []
    ended: list[tuple[int, int]] = []
    coming: list[tuple[int, int]] = []
    for i, track in enumerate(found):
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
        return ("over", max(ended)[1]) if ended else _without_season(found, member)
    if ended and today < (max(ended)[0] + min(coming)[0]) / 2:
        return "over", max(ended)[1]
    return "before", min(coming)[1]


def _later(found: list[Track], facts: WeatherFacts) -> tuple[Opening, ...]:
    """Openings after today that at least half of the members which know them have."""
    today = facts.axis.date(facts.axis.today)
    known = (opening(track, facts) for track in found)
    coming = (o for o in known if o is not None and o.opens.p50 > today and o.years >= o.never)
    return tuple(sorted(coming, key=lambda o: o.opens.p50))


def _is_best(window: Window, facts: WeatherFacts, site: Mapping[str, Series | None]) -> bool:
    if window.best is None:
        return True
    today = tree_on_axis(window.best, facts, site)[:, facts.axis.today]
    return int((today == TRUE).sum()) * 2 > len(today)
