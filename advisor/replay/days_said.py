"""Days after midsummer as calendar days of any year."""

from __future__ import annotations

import datetime as dt

COMMON_YEAR = 2001
"""A year without 29 February, and followed by one."""


def calendar_day(after_midsummer: float, midsummer: tuple[int, int]) -> dt.date:
    """The day, in a common year; only its month and day mean anything."""
    return dt.date(COMMON_YEAR, *midsummer) + dt.timedelta(days=round(after_midsummer))


def say_day(after_midsummer: float, midsummer: tuple[int, int]) -> str:
    """`5 Sep`."""
    day = calendar_day(after_midsummer, midsummer)
    return f"{day.day} {day:%b}"


def month_day(after_midsummer: float, midsummer: tuple[int, int]) -> str:
    """`09-05`, for other programs."""
    return f"{calendar_day(after_midsummer, midsummer):%m-%d}"
