"""The hours of each day that a limit leaves, as site.yaml writes them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from advisor.answers.limit_piece import Asked, Piece, Unclear, such
from advisor.base.dates import DAY_MIN, clock
from advisor.records.limits import WEEKDAYS, Hours, Span, spans_on

WHOLE: tuple[Span, ...] = ((0, DAY_MIN),)


def hours_said(name: str, piece: Piece, asked: Asked, no: bool) -> str:
    """Hours of each day: those told, or where they are denied what is left of those that stand."""
    given: tuple[Hours, ...] | None = getattr(asked.limits, name)
    keys = piece.days.keys or ("",)
    if keys == ("",) and (any(day in WEEKDAYS for day, _, _ in given or ()) or _never(piece, no)):
        # What is said of a day of the week would stand above what is said of every day.
        keys = WEEKDAYS
    said = []
    for key in keys:
        free = _free(given, key, asked.on)
        if no:
            told = piece.hours.without(free) if piece.hours.told else ()
        elif piece.hours.minutes is not None:
            base = piece.hours.within(WHOLE if piece.hours.told else free)
            told = (placed(base, piece.hours.minutes, asked.earliest(_next(key, asked.on))),)
        else:
            told = piece.hours.within(WHOLE)
        if no and piece.hours.minutes is not None:
            raise Unclear(f"it denies a number of hours; {such('work')}")
        said += [f"{key} {span_said(span)}".strip() for span in told] or [f"{key} never"]
    return ", ".join(said)


def _never(piece: Piece, no: bool) -> bool:
    return no and (not piece.hours.told or not piece.hours.without(WHOLE))


def _free(given: tuple[Hours, ...] | None, key: str, on: dt.date) -> tuple[Span, ...]:
    """The hours that stand of a date, a day of the week or every day."""
    if given is None:
        return WHOLE
    if key not in ("", *WEEKDAYS):
        spans = spans_on(given, _next(key, on))
    else:
        general = tuple(hours for hours in given if hours[0] in ("", key))
        spans = spans_on(general, _next(key, on))
    return WHOLE if spans is None else spans


def _next(key: str, on: dt.date) -> dt.date:
    """The date; the next such day of the week; or the day itself for every day."""
    if key not in ("", *WEEKDAYS):
        return dt.date.fromisoformat(key)
    return on + dt.timedelta(days=(WEEKDAYS.index(key) - on.weekday()) % 7 if key else 0)


def placed(free: Sequence[Span], minutes: int, earliest: int) -> Span:
    """The first span of so many minutes, not before `earliest` where that can be."""
    for least in (earliest, 0):
        for start, end in free:
            begins = max(start, least)
            if begins + minutes <= end:
                return begins, begins + minutes
    if not free:
        raise Unclear("there are no hours on that day")
    return free[0]


def span_said(span: Span) -> str:
    return f"{clock(span[0])} to {clock(span[1])}"
