"""Today, and the season year. The only module that reads the clock."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

ONE_DAY = dt.timedelta(days=1)


def today(zone: str | None = None) -> dt.date:
    """The calendar date now in an IANA time zone (default: the machine's own)."""
    return dt.datetime.now(ZoneInfo(zone) if zone else None).date()


def now_utc() -> dt.datetime:
    """This moment in UTC, for time stamps of records and fetched data."""
    return dt.datetime.now(dt.UTC)


def season_start(day: dt.date, latitude: float) -> dt.date:
    """First day of the season year that holds `day`.

    The season year begins at local midsummer (21 June north of the equator, 21 December south), so
    the autumn, winter and spring of one growing year are one unbroken interval in both hemispheres.
    """
    month = 6 if latitude >= 0 else 12
    start = dt.date(day.year, month, 21)
    return start if day >= start else dt.date(day.year - 1, month, 21)


def say_date(day: dt.date, *, relative_to: dt.date | None = None) -> str:
    """`18 Sep`, with the year when it is not that of `relative_to`."""
    text = f"{day.day} {day:%b}"
    same_year = relative_to is not None and day.year == relative_to.year
    return text if same_year or relative_to is None else f"{text} {day.year}"


def say_period(first: dt.date, last: dt.date) -> str:
    """`5 to 11 September 2026`, `29 July to 4 August 2025`."""
    if first.month == last.month:
        return f"{first.day} to {last.day} {last:%B %Y}"
    year = f" {first.year}" if first.year != last.year else ""
    return f"{first.day} {first:%B}{year} to {last.day} {last:%B %Y}"
