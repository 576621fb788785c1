"""The season of a job with its possible and its best days, over the years of the record."""

from __future__ import annotations

import numpy as np

from advisor.advice.item import Season, Span
from advisor.verdicts.decide import Decider, Decision
from advisor.windows.spread import Spread, spread_of
from advisor.windows.tracks import Opening, allowed, tracks, tree_on_axis
from advisor.windows.truth_arrays import TRUE


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
