"""When people can work on a day, for how long, and how hard."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

import numpy as np

from advisor.answers.words import listed, say_span
from advisor.base.record import replace
from advisor.cases.working_hours import working_hours
from advisor.facts.weather_facts import WeatherFacts
from advisor.planning.fit_days import COLD_DAY_C, WET_DAY_MM
from advisor.planning.hands import STEP_MIN, Spans, common
from advisor.planning.timetable import WorkDay
from advisor.records.limits import (
    NO_LIMITS,
    NOBODY,
    Limits,
    helpers_on,
    not_to_be_had,
    spans_on,
    why_barred,
)
from advisor.records.record import Site

HOURS_A_DAY = 6.0
"""What one person gives to a free day where the keeper does not say (chosen)."""
MET_HOURS_A_DAY = 21.0
"""A third of the capacity of an average person for eight hours: 8 MET / 3 x 8 h. The capacity is
that of Virginia Cooperative Extension's list; the third is the limit of work physiology for a
whole shift, from memory."""
REST_MIN = 5.0
"""Rest in each hour on a mild day (chosen)."""
WARM_C, WARM_REST_MIN = 26.7, 15.0
"""From a heat of 80 °F on, a quarter of each hour is rest (chosen; the rule that OSHA proposed in
2024 asks for water and rest as needed from a heat index of 80 °F). Air temperature stands for the
heat index where humidity is not known."""
HOT_C, HOT_UNTIL = 32.2, 12 * 60
"""From 90 °F on heavy work ends at noon (chosen; the same proposal has its second step there)."""


ERRANDS_FROM, ERRANDS_UNTIL = 7 * 60, 21 * 60
"""When a keeper who says nothing of hours may be on the way to the shop (chosen)."""


def work_days(
    site: Site,
    dates: Iterable[dt.date],
    facts: WeatherFacts | None,
    rain: Iterable[dt.date] = (),
    limits: Limits = NO_LIMITS,
) -> tuple[WorkDay, ...]:
    """The days of a plan. rain: days that the keeper expects to be wet."""
    wet = frozenset(rain)
    return tuple(_limited(_day(site, date, facts, date in wet), limits) for date in dates)


def _limited(day: WorkDay, limits: Limits) -> WorkDay:
    """A day with what the keeper sets bounds to."""
    there = spans_on(limits.work, day.date)
    why = why_barred(limits, day.date)
    return replace(
        day,
        fit=day.fit and why != NOBODY,
        note="; ".join(filter(None, (why or _hours_say(there), day.note))),
        parts=None if there is None else common(there, ((day.start, day.end),)),
        errands=((ERRANDS_FROM, ERRANDS_UNTIL),) if there is None else there,
        engines=spans_on(limits.engines, day.date),
        shop=spans_on(limits.shop, day.date),
        helpers=helpers_on(limits.helpers, day.date),
        away=not_to_be_had(limits, day.date),
    )


def _hours_say(there: Spans | None) -> str:
    """What the keeper's hours make of a day; empty where nothing bounds it."""
    if there is None:
        return ""
    return f"you have {listed(tuple(map(say_span, there)))}" if there else ""


def _day(site: Site, date: dt.date, facts: WeatherFacts | None, wet: bool) -> WorkDay:
    start, end = working_hours(site, date)
    notes, rest = [], REST_MIN
    high, told_rain = _expected(date, facts)
    if high is not None and high >= HOT_C:
        end, rest = min(end, HOT_UNTIL), WARM_REST_MIN
        notes.append("hot: rest a quarter of each hour, and stop at noon")
    elif high is not None and high >= WARM_C:
        rest = WARM_REST_MIN
        notes.append("warm: rest a quarter of each hour, in the shade")
    frosty = high is not None and high < COLD_DAY_C
    if frosty:
        notes.append("frost all day")
    if wet or (told_rain is not None and told_rain > WET_DAY_MM):
        notes.append("rain")
        wet = True
    hours = site.people.hours_per_day or HOURS_A_DAY
    return WorkDay(
        date=date,
        start=-(-start // STEP_MIN) * STEP_MIN,
        end=end // STEP_MIN * STEP_MIN,
        most_minutes=hours * 60,
        most_met_hours=MET_HOURS_A_DAY,
        rest=rest,
        fit=not (wet or frosty),
        note="; ".join(notes),
    )


def _expected(date: dt.date, facts: WeatherFacts | None) -> tuple[float | None, float | None]:
    """The day's high, °C, as forecast or else of the middle year; its rain, mm, as forecast."""
    if facts is None:
        return None, None
    at = facts.axis.index(date)
    if not 0 <= at < facts.axis.shape[1]:
        return None, None
    highs = facts.axis.columns["air_max_c"][:, at]
    known = highs[~np.isnan(highs)]
    high = float(np.median(known)) if known.size else None
    rain = None
    if facts.axis.knows(at) and "rain_mm" in facts.axis.columns:
        told = facts.axis.columns["rain_mm"][:, at]
        # A forecast may leave the rain open; then each year lends its own.
        rain = float(told[0]) if (told == told[0]).all() else None
    return high, rain
