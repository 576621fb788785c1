"""Runs of free days: weekends, public holidays, days off, and a bridge day where it is allowed."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from itertools import groupby

from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.base.working_days import holiday_names
from advisor.records.limits import Limits, is_barred
from advisor.records.record import People, Site, days_of

WEEK = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
WEEKEND = ("saturday", "sunday")


class FreeRun(Record, frozen=True):
    """Free days in a row. holidays: their names; bridges: working days that would be taken off."""

    days: tuple[dt.date, ...]
    holidays: tuple[str, ...]
    bridges: tuple[dt.date, ...]

    @property
    def first(self) -> dt.date:
        return self.days[0]

    @property
    def last(self) -> dt.date:
        return self.days[-1]

    @property
    def is_long(self) -> bool:
        """Longer than an ordinary weekend."""
        return len(self.days) > len(WEEKEND)

    @property
    def name(self) -> str:
        """What people call it."""
        if self.holidays:
            kind = "long weekend" if self.is_long else "holiday"
            return f"{kind} of {' and '.join(self.holidays)}"
        if len(self.days) == 1:
            return f"{self.first:%A}"
        return "days off" if self.is_long else "weekend"


def free_runs(site: Site, limits: Limits, first: dt.date, last: dt.date) -> tuple[FreeRun, ...]:
    """Every run of free days that lies wholly or partly between two days, oldest first.

    limits: those of the case, noted ones among them. A run that reaches over `first` is cut there;
    one that reaches over `last` is kept whole. Days on which the keeper is away or has no hours are
    not free.
    """
    names = _names(site, first, last)
    days = [first + ahead * ONE_DAY for ahead in range((last - first).days + _REACH)]
    barred = days_of(site.people.blocked) | {day for day in days if is_barred(limits, day)}
    free = _free_of(days, site.people, names) - barred
    bridges = _bridges(free) - barred if site.people.bridge_days else set()
    return tuple(
        FreeRun(
            days=run,
            holidays=tuple(dict.fromkeys(names[day] for day in run if day in names)),
            bridges=tuple(day for day in run if day in bridges),
        )
        for run in _runs(sorted(free | bridges))
        if run[0] <= last
    )


_REACH = 14


def _names(site: Site, first: dt.date, last: dt.date) -> dict[dt.date, str]:
    if not site.people.holidays_free:
        return {}
    found: dict[dt.date, str] = {}
    for year in range(first.year, (last + _REACH * ONE_DAY).year + 1):
        found |= holiday_names(site.place.country, site.place.subdivision, year)
    return found


def _free_of(days: list[dt.date], people: People, names: dict[dt.date, str]) -> set[dt.date]:
    weekdays = people.free_days if people.free_days is not None else WEEKEND
    extra = names.keys() | days_of(people.days_off)
    return {day for day in days if WEEK[day.weekday()] in weekdays or day in extra}


def _bridges(free: set[dt.date]) -> set[dt.date]:
    """Single days between two free ones."""
    return {day + ONE_DAY for day in free if day + 2 * ONE_DAY in free} - free


def _runs(days: list[dt.date]) -> Iterator[tuple[dt.date, ...]]:
    """Consecutive days together."""
    for _, run in groupby(enumerate(days), lambda pair: pair[1] - pair[0] * ONE_DAY):
        yield tuple(day for _, day in run)
