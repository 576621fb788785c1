"""The calendar as an iCalendar file (RFC 5545, RFC 7986). The only module that uses icalendar."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from zoneinfo import ZoneInfo

from icalendar import Alarm, Calendar, vDuration, vText
from icalendar import Event as CalendarEvent

from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.base.text import control_in
from advisor.render.yearly.calendar_events import Event
from advisor.render.yearly.calendar_memory import Remembered

REFRESH = dt.timedelta(days=1)
MORNING = dt.timedelta(hours=9)
"""When a reminder of whole days rings: in daytime (chosen)."""
EVENING = dt.timedelta(hours=18)
"""When one of hours rings, on the evening before (chosen)."""
REMINDER_MINUTES = 15
"""Before a timed event."""


class Timed(Record, frozen=True):
    """An event of a few minutes or hours, in UTC. issued: the day on which it was planned."""

    uid: str
    issued: dt.date
    start: dt.datetime
    end: dt.datetime
    summary: str
    text: str


def calendar_bytes(name: str, events: Iterable[Remembered]) -> bytes:
    """The file: events that block no time, with a reminder in daytime before a season closes.

    It holds no time of its own making, so the same events give the same bytes.
    """
    calendar = _calendar(name, "Year of a lawn")
    calendar.add("refresh-interval", vDuration(REFRESH), parameters={"VALUE": "DURATION"})
    calendar.add("x-published-ttl", vDuration(REFRESH))
    for event in events:
        calendar.add_component(_component(event))
    return bytes(calendar.to_ical())


def timed_bytes(name: str, events: Iterable[Timed]) -> bytes:
    """The file of timed events, each with a reminder; the same events give the same bytes."""
    calendar = _calendar(name, "Water for a lawn")
    for event in events:
        component = CalendarEvent()
        component.add("uid", event.uid)
        component.add("dtstamp", dt.datetime.combine(event.issued, dt.time(), dt.UTC))
        component.add("transp", "TRANSPARENT")
        component.add("dtstart", event.start)
        component.add("dtend", event.end)
        component.add("summary", _clean(event.summary))
        component.add("description", _clean(event.text))
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", _clean(event.summary))
        alarm.add("trigger", dt.timedelta(minutes=-REMINDER_MINUTES))
        component.add_component(alarm)
        calendar.add_component(component)
    return bytes(calendar.to_ical())


def _calendar(name: str, what: str) -> Calendar:
    calendar = Calendar()
    calendar.add("prodid", f"-//Turf Windows//{what}//EN")
    calendar.add("version", "2.0")
    calendar.add("name", _clean(name))
    calendar.add("x-wr-calname", _clean(name))
    return calendar


def _component(found: Remembered) -> CalendarEvent:
    event = found.event
    component = CalendarEvent()
    revised = dt.datetime.combine(found.revised, dt.time(), dt.UTC)
    component.add("uid", event.uid)
    component.add("dtstamp", revised)
    component.add("last-modified", revised)
    component.add("sequence", found.sequence)
    component.add("status", found.status)
    component.add("transp", "TRANSPARENT")
    if event.clock is None:
        component.add("dtstart", event.start)
        component.add("dtend", event.end)
    else:
        start, end = (_moment(event.start, minutes, event.zone) for minutes in event.clock)
        component.add("dtstart", start)
        component.add("dtend", end)
    component.add("summary", _clean(event.summary))
    component.add("description", _clean(event.description))
    if event.by is not None and found.status == "CONFIRMED":
        component.add_component(_reminder(event, event.by))
    return component


def _moment(day: dt.date, minutes: int, zone: str) -> dt.datetime:
    """In UTC; the wall clock's own time where the time zone is not known (RFC 5545, 3.3.5)."""
    at = dt.datetime.combine(day, dt.time()) + dt.timedelta(minutes=minutes)
    return at.replace(tzinfo=ZoneInfo(zone)).astimezone(dt.UTC) if zone else at


def _reminder(event: Event, by: dt.date) -> Alarm:
    """In the morning some days before, counted back from the end; or on the evening before."""
    alarm = Alarm()
    alarm.add("action", "DISPLAY")
    if event.clock is not None:
        alarm.add("description", _clean(event.summary))
        evening = EVENING - dt.timedelta(days=event.ahead, minutes=event.clock[0])
        alarm.add("trigger", evening)
        return alarm
    last = "" if event.end - event.start == ONE_DAY else ": the last good days"
    alarm.add("description", _clean(f"{event.summary}{last}"))
    back = dt.timedelta(days=(event.end - by).days + event.ahead) - MORNING
    alarm.add("trigger", -back, parameters={"RELATED": "END"})
    return alarm


class _Text(vText):
    r"""Text as it stands: the library would read `\N` in it as a line end before it escapes."""

    def to_ical(self) -> bytes:
        """Escaped as RFC 5545, 3.3.11 has it."""
        escaped = str(self).replace("\\", "\\\\").replace(";", "\\;").replace(",", "\\,")
        return escaped.replace("\n", "\\n").encode()


def _clean(text: str) -> _Text:
    """Without control characters other than line ends, which the format cannot carry."""
    return _Text("".join(c for c in text if c == "\n" or (c != "\t" and control_in(c) is None)))
