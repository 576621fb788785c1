"""What a digest leads with, what to see to beforehand, and how the lawn stands for water."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np

from advisor.advice.book import Advice
from advisor.advice.free_days import free_runs
from advisor.advice.gates import AHEAD_DAYS
from advisor.advice.item import Item
from advisor.answers.answer import Answer
from advisor.answers.words import listed, sentence
from advisor.base.dates import ONE_DAY, say_date
from advisor.base.record import Record
from advisor.base.units import System, show
from advisor.cases.case import Case
from advisor.cases.parts import Part
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.model import Lead

MOST_TO_DO = 4

Job = tuple[Answer, ...]
"""The answers for one operation on the areas where it is to be done."""


def jobs_of(answers: Iterable[Answer]) -> list[Job]:
    """Answers to do, one job for each operation, in the order given."""
    jobs: dict[str, list[Answer]] = {}
    for answer in answers:
        jobs.setdefault(answer.decision.operation.id, []).append(answer)
    return [tuple(job) for job in jobs.values()]


def choose_jobs(answers: Iterable[Answer]) -> tuple[list[Job], list[Job]]:
    """The jobs to lead with and the rest, in the order given.

    Routine, which goes on without a reminder, leads only where there is no season's work, and never
    while a better season for it is to come: else the same care of tools would head every week from
    spring to autumn.
    """
    jobs = jobs_of(answers)
    season = [job for job in jobs if not job[0].decision.operation.routine]
    leading = season or [job for job in jobs if not _unhurried(job)]
    chosen = {id(job) for job in leading[:MOST_TO_DO]}
    return [j for j in jobs if id(j) in chosen], [j for j in jobs if id(j) not in chosen]


def soonest(job: Job) -> Item:
    """The part of the lawn whose day is told for the whole job: the earliest."""
    return min((answer.item for answer in job), key=lambda item: item.order())


def _unhurried(job: Job) -> bool:
    """Whether it could be done now, though another window is the better one for it."""
    openings = (answer.decision.outlook.current for answer in job)
    return all(o is not None and o.window.prefer > 1 for o in openings)


LATE_DAYS = 10
"""A date missed by more than this is not brought up again."""
_LOOK_DAYS = 60


class DatedLine(Record, frozen=True):
    """By when, for which operations, what; work: the free day it is counted back from, if any."""

    by: dt.date
    titles: tuple[str, ...]
    says: str
    work: dt.date | None

    def text(self, on: dt.date) -> str:
        """One sentence."""
        when = "now" if self.by <= on else f"by {say_date(self.by, relative_to=on)}"
        work = ""
        if self.work is not None:
            work = f", for work on {self.work:%A} {say_date(self.work, relative_to=on)}"
        return sentence(f"{when}: {self.says}{work}")


def dated_json(line: DatedLine) -> dict[str, Any]:
    """A line as plain data."""
    return {
        "by": line.by.isoformat(),
        "jobs": list(line.titles),
        "says": line.says,
        "work": line.work and line.work.isoformat(),
    }


def dated_lines(
    advice: Advice, items: Iterable[Item], *, chosen: dt.date | None = None
) -> tuple[DatedLine, ...]:
    """The lines due within `AHEAD_DAYS`; the same thing for several jobs once.

    chosen: the day on which the work will be done; then every lead that counts to it is told. A day
    that the keeper has settled on stands above the next free ones.

    What has to be seen to because somebody could be hurt is no lead but a gate.
    """
    on = advice.on
    found: dict[tuple[dt.date, str, dt.date | None], list[str]] = {}
    for item in items:
        if not item.sure or item.decision.forbidden_ahead:
            continue
        if chosen is not None:
            leads = _to(chosen, item)
        elif item.appointed is not None:
            near = on + dt.timedelta(days=AHEAD_DAYS)
            leads = (x for x in _to(item.appointed, item) if on <= x[0] <= near)
        else:
            leads = _dates(item, advice.case)
        for by, lead, work in leads:
            if lead.job and not _silent(advice, lead.job, item):
                continue
            titles = found.setdefault((by, lead.says, work), [])
            if item.operation.title not in titles:
                titles.append(item.operation.title)
    ordered = sorted(found.items(), key=lambda item: item[0][:2])
    return tuple(DatedLine(by, tuple(titles), says, work) for (by, says, work), titles in ordered)


def _silent(advice: Advice, job: str, item: Item) -> bool:
    """Whether the job of a lead says nothing by itself on this part of the lawn."""
    if job not in item.part.decider.operations():
        return True
    return advice.item(job, item.part).need is False


def _to(work: dt.date, item: Item) -> Iterator[tuple[dt.date, Lead, dt.date | None]]:
    for lead in item.operation.leads:
        yield _before(work, lead), lead, work


def _dates(item: Item, case: Case) -> Iterator[tuple[dt.date, Lead, dt.date | None]]:
    on = case.on
    window = item.decision.outlook.current
    if window is None or item.verdict not in ("wait", "do", "hold"):
        return
    for lead in item.operation.leads:
        if lead.counts_to == "opens":
            if item.verdict != "wait":
                continue
            by = _before(window.opens.p50, lead)
            if -LATE_DAYS <= (by - on).days <= AHEAD_DAYS:
                yield max(by, on), lead, None
            continue
        start = max(window.opens.p50, on)
        work = _next_free_day(start, lead, case)
        if work is None or work > window.closes.p50:
            continue
        by = _before(work, lead)
        if (by - on).days <= AHEAD_DAYS:
            yield by, lead, work


def _next_free_day(start: dt.date, lead: Lead, case: Case) -> dt.date | None:
    """The first free day from `start` for which there is still time to see to the lead."""
    for run in free_runs(case.site, case.limits, start, start + _LOOK_DAYS * ONE_DAY):
        for day in run.days:
            # A bridge day is free only if the keeper takes it off, so no date hangs on it.
            if day not in run.bridges and _before(day, lead) >= case.on:
                return day
    return None


def _before(day: dt.date, lead: Lead) -> dt.date:
    return day - dt.timedelta(days=lead.before)


def titles_of(line: DatedLine) -> str:
    """The operations of a line, as its title."""
    first, *others = line.titles
    return listed((first, *(title.lower() for title in others)))


_A_YEAR = 365
WORTH_SAYING_C = 0.8
"""Under about 1.5 °F the soil is as usual, within what the model can tell."""


def water_lines(case: Case, parts: tuple[Part, ...]) -> tuple[str, ...]:
    """Rain of the last week and what is left in the root zone, by area where it differs."""
    units = case.site.unit_system
    weather = parts[0].decider.day.weather
    if weather is None:
        return ()
    said = []
    rain = _sum_last_week(weather)
    if rain is not None:
        said.append(f"Rain of the last seven days: {show(rain, 'mm', units)}.")
    shares: dict[str, list[str]] = {}
    for part in parts:
        left = part.decider.day.facts["soil_moisture_share"].value
        if isinstance(left, float):
            text = f"About {show(left, 'share', units)} of the root zone's water is left"
        else:
            hint = "" if case.site.water.irrigated is False else "; note waterings or feel the soil"
            text = f"The root zone's water is not known{hint}"
        shares.setdefault(text, []).append(part.label)
    for text, labels in shares.items():
        where = f" in the {' and '.join(labels)}" if len(shares) > 1 else ""
        said.append(f"{text}{where}.")
    return tuple(said)


def _sum_last_week(weather: WeatherFacts) -> float | None:
    axis = weather.axis
    rain = axis.columns["rain_mm"][0, max(axis.today - 6, 0) : axis.today + 1]
    total = float(rain.sum())
    return total if axis.observed > axis.today and total == total else None


def soil_departure(weather: WeatherFacts | None, units: System) -> str:
    """`the soil is 3 °F warmer than the middle of 29 years`; empty where that cannot be told.

    Each member of the axis goes on with a past year, so a year from today it stands on this
    calendar day of that year.
    """
    if weather is None or len(weather.axis.years) < 2:
        return ""
    soil = weather.series("soil_temperature_4in")
    at = weather.axis.today
    if at + _A_YEAR >= soil.shape[1] or np.isnan(soil[:, at]).any():
        return ""
    others = soil[:, at + _A_YEAR]
    others = others[~np.isnan(others)]
    if not len(others):
        return ""
    departure = float(np.quantile(soil[:, at], 0.5) - np.quantile(others, 0.5))
    if abs(departure) < WORTH_SAYING_C:
        return f"the soil is as warm as in the middle of {len(others)} years"
    way = "warmer" if departure > 0 else "cooler"
    by = show(abs(departure), "Δ°C", units)
    return f"the soil is {by} {way} than the middle of {len(others)} years"
