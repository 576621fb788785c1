"""Fetched data in one line: what, from when to when, how old."""

from __future__ import annotations

import datetime as dt

from advisor.weather.kept_weather import EXPIRES, ISSUED, Fetched

_HOUR, _DAY = 3600, 86_400


def describe(kind: str, data: Fetched, now: dt.datetime) -> str:
    """For instance `history of 11,012 days, 1996-01-01 to 2026-09-03, fetched 2 days ago (…)`."""
    days = f"{kind} of {len(data.table):,} days, {data.table.first} to {data.table.end}"
    made = data.time(ISSUED)
    issued = f"issued {stamp(made)}, " if made else ""
    return f"{days}, {issued}fetched {ago(data.fetched, now)} ({data.attribution})"


def expiry_text(data: Fetched) -> str:
    """Until when it is not asked for again."""
    expires = data.time(EXPIRES)
    return f"good until {stamp(expires)}, not asked again" if expires else "not asked again"


def ago(then: dt.datetime, now: dt.datetime) -> str:
    """An age in words."""
    seconds = (now - then).total_seconds()
    if seconds < -60:
        return f"{stamp(then)}, which is in the future by this clock"
    if seconds < 2 * _HOUR:
        minutes = int(max(seconds, 0) // 60)
        return f"{minutes} minutes ago" if minutes > 1 else "just now"
    if seconds < 2 * _DAY:
        return f"{int(seconds // _HOUR)} hours ago"
    return f"{int(seconds // _DAY):,} days ago"


def stamp(time: dt.datetime) -> str:
    """A point in time as `2026-09-05 12:00 UTC`."""
    return f"{time.astimezone(dt.UTC):%Y-%m-%d %H:%M} UTC"
