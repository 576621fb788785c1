"""The one date of an item, of its kind; its season; and what is lost with it if it is missed."""

from __future__ import annotations

import datetime as dt

import numpy as np

from advisor.advice.item import ItemDate, Season, Span, Weight
from advisor.decide.verdicts.decide import Decider, Decision
from advisor.decide.windows.interval import TRUE, Spread, spread_of
from advisor.decide.windows.tracks import Opening, allowed, tracks, tree_on_axis


def season_of(decision: Decision, decider: Decider) -> Season | None:
    """The season that the verdict speaks of; None where it is not known or lasts all year."""
    current = decision.outlook.current
    if current is None or current.all_year:
        return None
    possible = Span(current.opens, current.closes, current.years, current.never)
    return Season(
        current.window.id, current.window.title, possible, _best(current, decision, decider)
    )


def _best(current: Opening, decision: Decision, decider: Decider) -> Span | None:
    """The first and the last of its best days in each year; None where no year has one."""
    window, weather = current.window, decider.day.weather
    if window.best is None or weather is None:
        return None
    best = tree_on_axis(window.best, weather, decider.site_values) == TRUE
    days = np.arange(best.shape[1])
    banned = decider.banned(decision.operation)
    same = (t for t in tracks(window, weather, decider.site_values) if t.season == current.season)
    for part in (part for track in same for part in allowed(track, banned)):
        inside = (days >= part.found.opens[:, None]) & (days < part.found.closes[:, None])
        good = best & inside & part.found.opened[:, None]
        has = good.any(axis=1)
        if not has.any():
            continue
        first = spread_of(good.argmax(axis=1)[has], weather.axis)
        last = spread_of(good.shape[1] - 1 - good[:, ::-1].argmax(axis=1)[has], weather.axis)
        if last.p50 < current.opens.p50:
            continue
        never = int((part.found.certain & ~has).sum())
        return Span(_not_before(first, current.opens), last, int(has.sum()), never)
    return None


def _not_before(days: Spread, opens: Spread) -> Spread:
    return Spread(max(days.p10, opens.p10), max(days.p50, opens.p50), max(days.p90, opens.p90))


WEEKS, SEASON = 60, 240
"""Days without an equal chance: up to the first it is weeks, up to the second a season (chosen)."""


def weight_of(decision: Decision, *, goes_on: bool) -> Weight:
    """The weight of a job by itself: the days from the end of its season to the next as good.

    A later season that the rule file prices, or likes less, is not as good. Care that goes on
    weighs nothing, unless something that lives by it alone has raised it.
    """
    operation = decision.operation
    if goes_on:
        alive = operation.quiet and not operation.routine and decision.verdict == "do"
        return "life" if alive else "none"
    current = decision.outlook.current
    if current is None or current.all_year:
        return "weeks"
    equal = [
        (later.opening.opens.p50 - current.closes.p50).days
        for later in decision.later
        if later.operation == operation.id
        and not later.says
        and later.opening.window.prefer <= current.window.prefer
        and later.opening.opens.p50 > current.closes.p50
    ]
    gone = min(equal, default=SEASON + 1)
    if gone <= WEEKS:
        return "weeks"
    return "season" if gone <= SEASON else "year"


def date_of(decision: Decision, *, appointed: dt.date | None, goes_on: bool) -> ItemDate | None:
    """The date of a decision taken by itself; None where no day can be told.

    appointed: the day that the keeper has settled on; it counts only while nothing forbids the job.
    """
    verdict = decision.verdict
    if appointed is not None and verdict in ("do", "wait", "measure"):
        return ItemDate("appointment", appointed)
    match verdict:
        case "do" if goes_on:
            return ItemDate("routine", decision.on)
        case "do" | "measure" if decision.by is not None and not goes_on:
            return ItemDate("deadline", decision.by)
        case "hold" if decision.conflicts:
            return _release(decision)
        case "hold" if decision.clears is not None and decision.clears.on is not None:
            return ItemDate("sign", decision.clears.on, watch=decision.clears.watch)
        case "hold" if decision.by is not None and not goes_on:
            return ItemDate("deadline", decision.by)
        case "ruled_out" if not decision.for_good:
            return _release(decision)
        case "wait" if decision.forbidden_ahead:
            return _release(decision)
        case "wait" | "missed":
            found = coming(decision)
            return ItemDate("opening", found.opens.p50) if found is not None else None
    return None


def shut_out(decision: Decision, day: dt.date) -> bool:
    """Whether work that was settled for a day cannot be meant any more: it is not needed, it is too
    late, or what forbids it has no end by then."""
    if decision.for_good or decision.verdict in ("not_needed", "missed"):
        return True
    ends = decision.ends
    if not decision.conflicts or ends is None:
        return decision.verdict == "ruled_out"
    return ends.day > day


def coming(decision: Decision) -> Opening | None:
    """The opening of the job itself that is still to come, as its verdict has it."""
    if decision.verdict == "wait":
        return decision.outlook.current
    own = (later for later in decision.later if later.operation == decision.operation.id)
    following = next(own, None)
    return following.opening if following is not None else None


def starts(decision: Decision) -> dt.date | None:
    """The first day on which the job can be done; today while its season is open."""
    if decision.outlook.state == "open":
        return decision.on
    found = coming(decision)
    if found is None:
        # Without weather no season can be told, and work that asks for none can be done.
        return decision.on if decision.verdict == "do" else None
    return max(found.opens.p50, decision.on)


def _release(decision: Decision) -> ItemDate | None:
    """Only a day that is sure: what may end on any later day has none."""
    ends = decision.ends
    return ItemDate("release", ends.day) if ends is not None and ends.sure else None
