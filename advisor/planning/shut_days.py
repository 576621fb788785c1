"""Days that only a limit of the keeper keeps from being free, so that no view hides why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from advisor.advice.free_days import free_runs
from advisor.answers.words import listed
from advisor.base.dates import ONE_DAY, say_date
from advisor.cases.case import Case
from advisor.records.limits import NO_LIMITS, is_away, is_barred

_MOST_TOLD = 3
"""So many spans of days are named for each limit; the rest is counted."""


def shut_days(case: Case, first: dt.date, last: dt.date) -> tuple[dt.date, ...]:
    """The days from `first` to `last` that only the limits keep from being free."""
    if case.limits == NO_LIMITS:
        return ()
    runs = free_runs(case.site, NO_LIMITS, first, last)
    days = (day for run in runs for day in run.days if day <= last)
    return tuple(day for day in days if is_barred(case.limits, day))


def shut_says(case: Case, first: dt.date, last: dt.date) -> str:
    """`you are away 12 to 13 Sep and have no hours 19 Sep`; empty where no limit shuts a day."""
    days = shut_days(case, first, last)
    away = [day for day in days if is_away(case.limits, day)]
    rest = [day for day in days if day not in away]
    said = [
        f"{verb} {_told(found, case.on)}"
        for verb, found in (("are away", away), ("have no hours", rest))
        if found
    ]
    return f"you {' and '.join(said)}" if said else ""


def _told(days: Sequence[dt.date], on: dt.date) -> str:
    runs: list[tuple[dt.date, dt.date]] = []
    for day in days:
        if runs and day == runs[-1][1] + ONE_DAY:
            runs[-1] = (runs[-1][0], day)
        else:
            runs.append((day, day))
    said = [_span(*run, on) for run in runs[:_MOST_TOLD]]
    more = sum((end - start).days + 1 for start, end in runs[_MOST_TOLD:])
    if more:
        said.append(f"{more} more day{'s' if more > 1 else ''}")
    return listed(tuple(said))


def _span(first: dt.date, last: dt.date, on: dt.date) -> str:
    if first == last:
        return say_date(first, relative_to=on)
    start = f"{first.day}" if first.month == last.month else say_date(first, relative_to=on)
    return f"{start} to {say_date(last, relative_to=on)}"
