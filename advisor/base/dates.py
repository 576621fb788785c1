"""Today, and the season year. The only module that reads the clock."""

from __future__ import annotations

import datetime as dt
import time
from collections.abc import Iterator
from contextlib import contextmanager
from zoneinfo import ZoneInfo

DAY_MIN = 24 * 60
"""Minutes of a day."""
ONE_DAY = dt.timedelta(days=1)
FIRST_DAY, LAST_DAY = dt.date(1900, 1, 1), dt.date(2199, 12, 31)
"""The days that anything here is reckoned for: a journal holds none before, and
around each day lie years that are looked at too. Our choice."""
_ahead = dt.timedelta(0)
"""By how much our clock is set ahead of the machine's; only a demo of a fixed day sets it."""


def today(zone: str | None = None) -> dt.date:
    """The calendar date now in an IANA time zone (default: the machine's own)."""
    return (dt.datetime.now(ZoneInfo(zone) if zone else None) + _ahead).date()


def now_utc() -> dt.datetime:
    """This moment in UTC, for time stamps of records and fetched data."""
    return dt.datetime.now(dt.UTC) + _ahead


def seconds_since(moment: float) -> float:
    """Seconds since a file's time stamp, which the machine's own clock has set."""
    return time.time() - moment


@contextmanager
def clock_set_to(moment: dt.datetime) -> Iterator[None]:
    """Let this process take a moment (with its time zone) for now; from there the clock runs on.

    For what plays on a fixed day. Processes that it starts keep the machine's clock.
    """
    global _ahead
    before = _ahead
    _ahead = moment - dt.datetime.now(dt.UTC)
    try:
        yield
    finally:
        _ahead = before


def known_day(day: dt.date) -> dt.date:
    """The day. Raises `ValueError`, with a sentence, if nothing can be reckoned for it."""
    if not FIRST_DAY <= day <= LAST_DAY:
        raise ValueError(f"{day} is too far away; wanted {FIRST_DAY.year} to {LAST_DAY.year}")
    return day


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


def clock(minutes: int) -> str:
    """`09:05`."""
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
