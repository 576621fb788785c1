"""Days off and days taken, as the keeper writes them: one date, or `2026-08-03 to 2026-08-14`."""

from __future__ import annotations

import datetime as dt
from typing import Any

from advisor.base.dates import ONE_DAY

MOST_DAYS = 366
_WANTED = "wanted a date such as 2026-08-03, or '2026-08-03 to 2026-08-14'"

DaySpan = tuple[dt.date, dt.date]


def read_span(given: Any) -> DaySpan:
    """First and last day. Raises `ValueError` with what is wanted instead."""
    if isinstance(given, dt.date):
        return given, given
    ends = str(given).split(" to ") if isinstance(given, str) else []
    try:
        first, last = (dt.date.fromisoformat(end.strip()) for end in ends)
    except ValueError:
        raise ValueError(f"'{given}' names no days; {_WANTED}") from None
    if not 0 <= (last - first).days < MOST_DAYS:
        raise ValueError(f"'{given}' must run forwards and for less than a year")
    return first, last


def days_of(spans: tuple[DaySpan, ...]) -> frozenset[dt.date]:
    """Every day of the spans."""
    return frozenset(
        first + ahead * ONE_DAY for first, last in spans for ahead in range((last - first).days + 1)
    )
