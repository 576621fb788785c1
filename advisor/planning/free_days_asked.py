"""Which free days a question means: a holiday of the place by its name, a date, or the weekend."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence

from advisor.advice.free_days import FreeRun
from advisor.answers.question_dates import DateAsked, find_dates
from advisor.answers.question_text import plain
from advisor.cases.case import Case

LONGEST = dt.timedelta(days=14)
"""Whoever names a longer time, such as a year, means no free days by it (chosen)."""
_WEEKEND = re.compile(r"\bweekend\b")
_LONG = re.compile(r"\b(?:long|holiday|bank holiday) weekend\b")


def run_asked(question: str, case: Case, runs: Sequence[FreeRun]) -> FreeRun | None:
    """The first of the free days, in order of date, that the question means; None for none.

    Raises `ValueError` with a sentence for a date that cannot be read.
    """
    text = plain(question)
    for run in runs:
        if any(plain(name) in text for name in run.holidays):
            return run
    if _LONG.search(text):
        return next((run for run in runs if run.is_long), None)
    dates = find_dates(text, case.on, case.site.place.latitude)
    if dates:
        return next((run for run in runs if _within(run, dates[0])), None)
    return next(iter(runs), None) if _WEEKEND.search(text) else None


def _within(run: FreeRun, date: DateAsked) -> bool:
    if date.first is None:
        return False
    last = date.last or date.first
    return last - date.first <= LONGEST and run.first <= last and date.first <= run.last
