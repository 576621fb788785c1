"""The one date of a job: a deadline, an appointment, a sign, a routine, an opening or a release."""

from __future__ import annotations

import datetime as dt

from advisor.advice.item import ItemDate
from advisor.verdicts.decide import Decision
from advisor.windows.tracks import Opening


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
