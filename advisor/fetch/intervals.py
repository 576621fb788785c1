"""Values that hold over an interval of time, brought to local calendar days.

Intervals are written as start and duration, `2026-09-05T18:00:00+00:00/P1DT6H` (ISO 8601-1:2019,
5.5); equal neighbours are merged by the service, so any length occurs.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Sequence
from zoneinfo import ZoneInfo

import numpy as np

from advisor.base.record import Record
from advisor.weather.table import Values

_DURATION = re.compile(
    r"P(?:(?P<weeks>[0-9]{1,2})W)?(?:(?P<days>[0-9]{1,3})D)?"
    r"(?:T(?:(?P<hours>[0-9]{1,4})H)?(?:(?P<minutes>[0-9]{1,5})M)?(?:(?P<seconds>[0-9]{1,6})S)?)?\Z"
)
#: As for hourly files: a day needs this many known hours (our choice).
HOURS_OF_A_DAY = 20.0
_LONGEST = dt.timedelta(days=30)
_MOST_DAYS = 60
_YEARS = (1970, 2200)


class Span(Record, frozen=True):
    """A value and the time over which it holds, [start, end), with a time zone."""

    start: dt.datetime
    end: dt.datetime
    value: float

    def overlap(self, start: dt.datetime, end: dt.datetime) -> float:
        """Hours shared with another interval."""
        return max((min(self.end, end) - max(self.start, start)).total_seconds(), 0.0) / 3600

    @property
    def hours(self) -> float:
        return (self.end - self.start).total_seconds() / 3600


def read_interval(text: str) -> tuple[dt.datetime, dt.datetime]:
    """Start and end, UTC. Raises `ValueError` with a sentence."""
    begin, slash, duration = text.partition("/")
    match = _DURATION.match(duration) if slash else None
    if match is None:
        raise ValueError(f"'{text}' is no start and duration, such as 2026-09-05T18:00:00Z/PT6H")
    try:
        start = dt.datetime.fromisoformat(begin)
    except ValueError:
        raise ValueError(f"'{begin}' is no date and time") from None
    if start.tzinfo is None:
        raise ValueError(f"'{begin}' has no time zone")
    length = dt.timedelta(**{key: int(value or 0) for key, value in match.groupdict().items()})
    if not dt.timedelta(0) < length <= _LONGEST:
        raise ValueError(f"'{duration}' is no length of a forecast")
    try:
        start = start.astimezone(dt.UTC)
    except OverflowError:
        start = start.replace(tzinfo=dt.UTC)
    if not _YEARS[0] <= start.year <= _YEARS[1]:
        raise ValueError(f"'{begin}' is no time of a forecast")
    return start, start + length


def days_of(spans: Sequence[Span], zone: ZoneInfo) -> list[dt.date]:
    """The local calendar days that the spans touch, in order, without holes.

    Raises `ValueError` if they are spread over more than `_MOST_DAYS`.
    """
    if not spans:
        return []
    first = min(span.start for span in spans).astimezone(zone).date()
    last_moment = max(span.end for span in spans) - dt.timedelta(microseconds=1)
    count = (last_moment.astimezone(zone).date() - first).days + 1
    if count > _MOST_DAYS:
        raise ValueError(f"times from {first} over {count:,} days, more than any forecast")
    return [first + dt.timedelta(days=n) for n in range(count)]


def extremes(
    spans: Sequence[Span], days: Sequence[dt.date], zone: ZoneInfo, hour: int, *, highest: bool
) -> Values:
    """The highest or lowest value of each day (days,), NaN where none is known.

    hour: the local hour about which the extreme falls. A span belongs to the days whose `hour` it
    holds; if it holds none, to the day of its middle.
    """
    found = np.full(len(days), np.nan)
    pick = np.fmax if highest else np.fmin
    for span in spans:
        held = [at for at, day in enumerate(days) if span.start <= _at(day, zone, hour) < span.end]
        if not held:
            middle = (span.start + (span.end - span.start) / 2).astimezone(zone).date()
            held = [at for at, day in enumerate(days) if day == middle]
        for at in held:
            found[at] = pick(found[at], span.value)
    return found


def sums(spans: Sequence[Span], days: Sequence[dt.date], zone: ZoneInfo) -> Values:
    """The amount that falls on each day (days,), each span spread evenly over its time.

    NaN unless spans cover the whole day, but for an hour.
    """
    amounts, hours = np.zeros(len(days)), np.zeros(len(days))
    for at, day in enumerate(days):
        start, end = _at(day, zone, 0), _at(day + dt.timedelta(days=1), zone, 0)
        for span in spans:
            shared = span.overlap(start, end)
            amounts[at] += span.value * shared / span.hours
            hours[at] += shared
        if hours[at] < (end - start).total_seconds() / 3600 - 1.0:
            amounts[at] = np.nan
    return amounts


def means(spans: Sequence[Span], days: Sequence[dt.date], zone: ZoneInfo) -> Values:
    """The mean over each day (days,), weighted by time; NaN under `HOURS_OF_A_DAY` known hours."""
    found = np.full(len(days), np.nan)
    for at, day in enumerate(days):
        start, end = _at(day, zone, 0), _at(day + dt.timedelta(days=1), zone, 0)
        shared = np.array([span.overlap(start, end) for span in spans])
        if shared.sum() >= HOURS_OF_A_DAY:
            found[at] = np.average([span.value for span in spans], weights=shared)
    return found


def _at(day: dt.date, zone: ZoneInfo, hour: int) -> dt.datetime:
    """A local hour as UTC: differences of local times would leave out the change of clocks."""
    return dt.datetime.combine(day, dt.time(hour), zone).astimezone(dt.UTC)
