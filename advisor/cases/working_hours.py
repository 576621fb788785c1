"""Between when people can work on a lawn on a day, whatever the weather and the keeper's limits."""

from __future__ import annotations

import datetime as dt

from advisor.cases.daylight import daylight
from advisor.records.limits import Span
from advisor.records.record import Site

FROM, UNTIL = 8 * 60, 20 * 60
"""Hours in which machines may be heard where the keeper says nothing else (common practice; local
codes decide)."""
DEW_MIN = 120
"""Grass is taken to be dry so long after sunrise (chosen; common practice: mid-morning)."""


def working_hours(site: Site, date: dt.date) -> Span:
    """From dry grass to sunset, within `work_from` and `work_until`; minutes after midnight."""
    place, people = site.place, site.people
    rises, sets = daylight(date, place.latitude, place.longitude, place.time_zone)
    start = max(_clock(people.work_from, FROM), rises + DEW_MIN)
    return start, min(_clock(people.work_until, UNTIL), sets)


def _clock(given: dt.time | None, otherwise: int) -> int:
    return otherwise if given is None else given.hour * 60 + given.minute
