"""How good a day is for work that may be done, its last good day, and which advice goes with it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Literal

from advisor.engine.trace import truth
from advisor.facts.fact import Value
from advisor.rulebook.conditions import Leaf
from advisor.rulebook.model import Advice, VerdictName
from advisor.windows.outlook import Outlook

Grade = Literal["best", "possible"]


def graded(verdict: VerdictName, seen: Outlook, close: tuple[Leaf, ...]) -> Grade | None:
    if verdict != "do":
        return None
    return "best" if seen.best and not close else "possible"


def last_good_day(seen: Outlook, on: dt.date) -> dt.date | None:
    """The day before which the window closes in only one year of ten, or the best guess after."""
    if seen.current is None or seen.current.all_year:
        return None
    closes = seen.current.closes
    return next((day for day in (closes.p10, closes.p50, closes.p90) if day >= on), on)


def applies(advice: Advice, verdict: VerdictName, values: Mapping[str, Value | None]) -> bool:
    if verdict not in advice.verdicts:
        return False
    return advice.when is None or truth(advice.when, values) is True
