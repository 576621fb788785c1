"""How far off another job's season is, and whether a wait would run into it."""

from __future__ import annotations

import datetime as dt

from advisor.facts.fact import Value
from advisor.windows.outlook import Outlook


def days_to(seen: Outlook, on: dt.date) -> float | None:
    """Days until a job may next be done, 0 while it may; None where nobody can tell.

    Counted to the middle of its openings over the years of the record.
    """
    if seen.state == "open":
        return 0.0
    opening = seen.current if seen.state == "before" else next(iter(seen.later), None)
    return None if opening is None else float(max((opening.opens.p50 - on).days, 0))


def reaches(wait: Value | None, away: float | None) -> bool | None:
    """Whether a wait of so many days, begun today, lasts into a season so many days away."""
    if not isinstance(wait, float):
        return None
    if wait == 0:
        return False
    return None if away is None else away < wait
