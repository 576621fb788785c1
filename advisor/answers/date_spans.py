"""Which days a named month, season, week or weekday means, seen from one day."""

from __future__ import annotations

import calendar
import datetime as dt
from typing import Literal

from advisor.base.dates import ONE_DAY

Season = Literal["spring", "summer", "autumn", "winter"]
Part = Literal["", "early", "mid", "late"]
Which = Literal["", "this", "next"]
Span = tuple[dt.date, dt.date]

_FIRST_MONTH_NORTH: dict[Season, int] = {"spring": 3, "summer": 6, "autumn": 9, "winter": 12}
# People go on calling it autumn until the solstice, three weeks into the winter months.
_GRACE = 20 * ONE_DAY


def season_of_month(month: int, latitude: float) -> Season:
    """The season in which a month of the calendar lies, by whole months."""
    shifted = month if latitude >= 0 else (month + 5) % 12 + 1
    for season, first in _FIRST_MONTH_NORTH.items():
        if (shifted - first) % 12 < 3:
            return season
    raise AssertionError(month)


def month_span(year: int, month: int, part: Part = "") -> Span:
    """First and last day of a month or of its early, middle or late third."""
    last = calendar.monthrange(year, month)[1]
    first, end = {"": (1, last), "early": (1, 10), "mid": (11, 20), "late": (21, last)}[part]
    return dt.date(year, month, first), dt.date(year, month, end)


def season_span(year: int, season: Season, latitude: float, part: Part = "") -> Span:
    """First and last day of the season that begins in `year`, or of one of its months."""
    first = _FIRST_MONTH_NORTH[season]
    if latitude < 0:
        first = (first + 5) % 12 + 1
    skip, length = {"": (0, 3), "early": (0, 1), "mid": (1, 1), "late": (2, 1)}[part]
    start = months_later(dt.date(year, first, 1), skip)
    return start, months_later(start, length) - ONE_DAY


def months_later(day: dt.date, months: int) -> dt.date:
    """The same day of a later month, or its last day if the month is shorter."""
    years, month = divmod(day.month - 1 + months, 12)
    year = day.year + years
    return dt.date(year, month + 1, min(day.day, calendar.monthrange(year, month + 1)[1]))


def month_from(on: dt.date, month: int, part: Part, which: Which) -> Span:
    """The month as meant on `on`: the present one or the next to come; days past are cut off."""
    return _coming([month_span(on.year + n, month, part) for n in (0, 1)], on, which)


def season_from(on: dt.date, season: Season, latitude: float, part: Part, which: Which) -> Span:
    """The season as meant on `on`: the present one or the next to come; days past are cut off.

    `this` season goes on for some days after its last month.
    """
    spans = [season_span(on.year + n, season, latitude, part) for n in (-1, 0, 1)]
    if not part and which == "this":
        for _, last in spans:
            if last < on <= last + _GRACE:
                return on, last + _GRACE
    return _coming(spans, on, which)


def week_from(on: dt.date, which: Which) -> Span:
    """Monday to Sunday; this week begins on `on`."""
    monday = on - on.weekday() * ONE_DAY
    if which == "next":
        return monday + 7 * ONE_DAY, monday + 13 * ONE_DAY
    return on, monday + 6 * ONE_DAY


def weekend_from(on: dt.date, which: Which) -> Span:
    """Saturday and Sunday of this week or the next; on a Sunday this weekend is that day."""
    saturday = on + (5 - on.weekday()) * ONE_DAY
    if which == "next":
        return saturday + 7 * ONE_DAY, saturday + 8 * ONE_DAY
    return max(saturday, on), saturday + ONE_DAY


def weekday_from(on: dt.date, weekday: int, which: Which) -> dt.date:
    """The next such day, today included; `next` means the one in the following week."""
    if which == "next":
        return on + (7 - on.weekday() + weekday) * ONE_DAY
    return on + (weekday - on.weekday()) % 7 * ONE_DAY


def day_from(on: dt.date, month: int, day: int) -> dt.date:
    """The next such day of the calendar, today included. Raises `ValueError` if there is none."""
    for year in range(on.year, on.year + 9):
        try:
            found = dt.date(year, month, day)
        except ValueError:
            continue
        if found >= on:
            return found
    raise ValueError


def _coming(spans: list[Span], on: dt.date, which: Which) -> Span:
    for first, last in spans:
        if first > on or (which != "next" and last >= on):
            return max(first, on), last
    raise AssertionError(on)
