"""The limits that stand on a day: those of site.yaml, and over them those that were noted since."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any

from advisor.base.dates import DAY_MIN, ONE_DAY
from advisor.base.record import replace
from advisor.records.entry import Entry
from advisor.records.limit_values import ALL, read_noted
from advisor.records.limits import NO_LIMITS, WEEKDAYS, HiredOn, Hours, Limits
from advisor.records.record import DaySpan

_ANY_TIME: Hours = ("", 0, DAY_MIN)
_OF_DAYS = ("work", "engines", "shop")


def with_noted(limits: Limits, entries: Iterable[Entry], on: dt.date) -> Limits:
    """The limits with those of records of limits laid over them, oldest first, as they stand on
    `on`.

    Hours noted of a day say nothing of other days. What was noted of days that are over is over.
    """
    found = limits
    for entry in entries:
        if entry.what == ALL:
            found = limits
            continue
        found = _laid_over(found, entry.what, read_noted(entry.what, entry.text), on)
    return found


def _laid_over(limits: Limits, name: str, noted: Any, on: dt.date) -> Limits:
    """The limits with one more record."""
    given = getattr(limits, name)
    if noted is None:
        value = getattr(NO_LIMITS, name)
    elif name in _OF_DAYS:
        value = _hours_over(given, noted, on)
    elif name == "helpers":
        value = (*given, *_to_come(noted, on))
    elif name == "away":
        coming = tuple(span for span in noted if span[1] >= on)
        # One absence that was told twice is one; where nothing comes, the site's stand as they are.
        value = _as_one((*given, *coming)) if coming else given
    elif name == "hired_on":
        value = _days_over(given, noted, on)
    else:
        value = noted
    return replace(limits, **{name: value})


def _as_one(spans: Iterable[DaySpan]) -> tuple[DaySpan, ...]:
    """The spans in order, those that overlap or touch as one."""
    found: list[DaySpan] = []
    for first, last in sorted(spans):
        if found and first <= found[-1][1] + ONE_DAY:
            found[-1] = (found[-1][0], max(found[-1][1], last))
        else:
            found.append((first, last))
    return tuple(found)


def _hours_over(
    given: tuple[Hours, ...] | None, noted: tuple[Hours, ...], on: dt.date
) -> tuple[Hours, ...] | None:
    coming = _to_come(noted, on)
    if not coming:
        return given
    days = {day for day, _, _ in coming}
    kept = (hours for hours in given or (_ANY_TIME,) if hours[0] not in days)
    return (*kept, *coming)


def _to_come(hours: tuple[Hours, ...], on: dt.date) -> tuple[Hours, ...]:
    """Hours of days of the week, of every day, and of dates that are not over."""
    return tuple(each for each in hours if each[0] in ("", *WEEKDAYS) or each[0] >= f"{on}")


def _days_over(given: tuple[HiredOn, ...], noted: HiredOn, on: dt.date) -> tuple[HiredOn, ...]:
    if all(last < on for _, last in noted.days):
        return given
    return (*(each for each in given if each.kind != noted.kind), noted)
