"""What the keeper sets bounds to: hours, noise, money, body, helpers, days away, machines' days.

Nothing said is no limit. How the section `limits` of site.yaml is written is told in
`limit_keys.py`.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from advisor.base.record import Record
from advisor.base.vocabularies import ToolKind

Hours = tuple[str, int, int]
"""A day of the week, a date or nothing (every day), and two times in minutes after midnight; twice
the same time is never."""
Span = tuple[int, int]
WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


class HiredOn(Record, frozen=True, kw_only=True):
    """A machine that is to be had on some days only: first and last day of each span."""

    kind: ToolKind
    days: tuple[tuple[dt.date, dt.date], ...]


class Limits(Record, frozen=True, kw_only=True):
    """work: when the keeper is there to work. engines: when a machine with an engine may be heard.
    shop: when the hire shop is open. helpers: each entry is one more person, then and only then.

    Where one of the first three is given it says all there is: a day that it does not name has
    none. hire: the most that the hire of one plan may cost, in the keeper's own money. lifting:
    False where the keeper must not lift. machines: False for work by hand alone. away: days on
    which nobody is there, to work or to water.
    """

    work: tuple[Hours, ...] | None = None
    engines: tuple[Hours, ...] | None = None
    shop: tuple[Hours, ...] | None = None
    helpers: tuple[Hours, ...] = ()
    hire: float | None = None
    lifting: bool = True
    machines: bool = True
    away: tuple[tuple[dt.date, dt.date], ...] = ()
    hired_on: tuple[HiredOn, ...] = ()


NO_LIMITS = Limits()
_WHOLE_DAY = ((0, 24 * 60),)


def spans_on(hours: tuple[Hours, ...] | None, date: dt.date) -> tuple[Span, ...] | None:
    """The spans of one day, in order and joined where they touch; None where nothing bounds it.

    What is said of the date stands above its day of the week, and that above every day; the whole
    day is no bound.
    """
    if hours is None:
        return None
    for day in (date.isoformat(), WEEKDAYS[date.weekday()], ""):
        mine = sorted((start, end) for named, start, end in hours if named == day)
        if mine:
            spans = _joined(span for span in mine if span[0] < span[1])
            return None if spans == _WHOLE_DAY else spans
    return ()


def helpers_on(hours: tuple[Hours, ...], date: dt.date) -> tuple[Span, ...]:
    """One span for each helper of a day."""
    named = ("", WEEKDAYS[date.weekday()], date.isoformat())
    return tuple((start, end) for day, start, end in hours if day in named and start < end)


def is_away(limits: Limits, date: dt.date) -> bool:
    return any(first <= date <= last for first, last in limits.away)


NOBODY, NO_HOURS = "nobody is there", "you have no hours"


def why_barred(limits: Limits, date: dt.date) -> str:
    """Why nobody can work on a day, be it away or without hours; empty where somebody can."""
    if is_away(limits, date):
        return NOBODY
    return NO_HOURS if spans_on(limits.work, date) == () else ""


def is_barred(limits: Limits, date: dt.date) -> bool:
    """Whether nobody can work on a day: the keeper is away, or has no hours on it."""
    return bool(why_barred(limits, date))


def not_to_be_had(limits: Limits, date: dt.date) -> frozenset[str]:
    """The machines that are not to be had on a day."""
    return frozenset(
        each.kind
        for each in limits.hired_on
        if not any(first <= date <= last for first, last in each.days)
    )


def _joined(spans: Iterable[Span]) -> tuple[Span, ...]:
    found: list[Span] = []
    for start, end in spans:
        if found and start <= found[-1][1]:
            found[-1] = (found[-1][0], max(end, found[-1][1]))
        else:
            found.append((start, end))
    return tuple(found)
