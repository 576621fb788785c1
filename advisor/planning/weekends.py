"""Which free days suit the season's work: each run of them with its chances, ranked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from advisor.advice.book import Advice, OfAdvice
from advisor.advice.free_days import FreeRun, free_runs
from advisor.advice.gates import Gate, Gates
from advisor.advice.item import Item
from advisor.answers.law import forbidden_line, law_line
from advisor.answers.words import TENTHS, listed
from advisor.base.problems import BadInput, Place
from advisor.base.record import Record, replace
from advisor.cases.case import laws_of
from advisor.planning.fit_days import (
    FitDays,
    Fits,
    day_slice,
    open_days,
    people_can_work,
    run_fit,
)
from advisor.planning.programme_step import Standing
from advisor.planning.programme_words import standings_of
from advisor.planning.rehearsal import Rehearsal
from advisor.planning.whole import RAIN_DAYS, Rehearser
from advisor.rulebook.actives import with_options
from advisor.rulebook.law import left_by

AHEAD_DAYS = 182
"""Half a year holds the next season of heavy work."""
GOOD_CHANCE = 0.5
"""An operation fits where the odds are at least even (chosen)."""


class Fit(Record, frozen=True):
    """One operation in one run of free days.

    area: empty for the whole lawn. needed: False where that is not known yet. in_season, chance:
    share of the years in which a day of the run is in season, and is so and dry and mild enough for
    the work. minutes: one person's work.
    """

    operation: str
    title: str
    area: str
    needed: bool
    in_season: float
    chance: float
    minutes: float


class Choice(Record, frozen=True):
    """Free days and what fits. workable: mean share of days fit to work in. rank: 1 is best.

    rehearsal: of the work that belongs together; None where there is none such, or no year tells.
    """

    run: FreeRun
    fits: tuple[Fit, ...]
    workable: float
    rank: int
    rehearsal: Rehearsal | None = None

    @property
    def expected_hours(self) -> float:
        """How much of the wanted work can be expected to find a fit day, hours of one person."""
        return sum(fit.chance * fit.minutes for fit in self.fits) / 60

    def fit(self, operation: str, area: str | None = None) -> float:
        """The chance of an operation on an area, else the best on any; 0 if it does not fit."""
        here = (f for f in self.fits if f.operation == operation)
        return max((f.chance for f in here if area in (None, f.area)), default=0.0)


@dataclass(frozen=True)
class Weekends(OfAdvice):
    """wanted: the work that was looked at, as (operation, title). areas: by operation, those of
    the lawn that want it. choices: in order of date. whole: the jobs that are rehearsed together,
    in working order. programmes: those that they are steps of.
    gates: of work that breaks the soil, for the first day of its season on which it can be done.
    instead: of each two that exclude each other, and of each that gives way to another, the titles
    and what to choose by. law: what of it was checked, and what is left out for it."""

    advice: Advice
    first: dt.date
    last: dt.date
    wanted: tuple[tuple[str, str], ...]
    areas: dict[str, tuple[str, ...]]
    choices: tuple[Choice, ...]
    instead: tuple[tuple[str, str], ...]
    years: int
    law: str
    whole: tuple[Item, ...] = ()
    programmes: tuple[Standing, ...] = ()
    gates: tuple[Gate, ...] = ()

    @property
    def ranked(self) -> tuple[Choice, ...]:
        """The choices, best first."""
        return tuple(sorted(self.choices, key=lambda choice: choice.rank))

    def best_for(self, operation: str, area: str, *, long: bool | None = None) -> Choice | None:
        """The choice with the best chance for one operation on an area, the first of equals.

        long: only long runs, or only ordinary ones. None if no run has a chance of a half.
        """
        fit = [c for c in self.choices if long is None or c.run.is_long is long]
        best = max(fit, key=lambda c: c.fit(operation, area), default=None)
        return best if best is not None and best.fit(operation, area) >= GOOD_CHANCE else None


def compose_weekends(
    advice: Advice, first: dt.date | None = None, last: dt.date | None = None
) -> Weekends:
    """The free days from `first` (default: today) to `last` (default: half a year later).

    Raises `BadInput` where they run backwards or past what the weather record can tell.
    """
    case, on = advice.case, advice.on
    start = first or on
    end = last or start + dt.timedelta(days=AHEAD_DAYS)
    if end < start or start < on:
        what = f"{start} to {end} does not run forwards from {on}; write --from, then --to"
        raise BadInput.at(Place("--from"), what)
    facts = advice.parts[0].decider.day.weather
    if facts is None:
        what = "without a weather record or monthly normals no day can be told from another"
        raise BadInput.at(case.place(), what)
    furthest = facts.axis.date(facts.axis.shape[1] - 1) - dt.timedelta(days=14)
    if end > furthest:
        what = f"{end} is further off than the weather reaches; wanted {furthest} or sooner"
        raise BadInput.at(Place("--to"), what)
    reckoned = Fits()
    rank = case.book.working_rank
    wanted = sorted(advice.taken_up(), key=lambda item: rank[item.operation.id])
    jobs = [_Job(item, fit) for item in wanted if (fit := reckoned.of(item)) is not None]
    areas: dict[str, tuple[str, ...]] = {}
    for job in jobs:
        id = job.item.operation.id
        areas[id] = (*areas.get(id, ()), job.item.part.label)
    dry = people_can_work(facts)
    gates = advice.gates
    rehearser = Rehearser(advice, reckoned)
    runs = free_runs(case.site, case.limits, start, end + dt.timedelta(days=RAIN_DAYS))
    found = []
    for number, run in enumerate(runs):
        days = day_slice(facts, run.first, run.last)
        if days is not None and run.first <= end:
            fits = tuple(_fits(advice, jobs, run, gates))
            rehearsed = rehearser.on(run, runs[number + 1 :])
            found.append(Choice(run, fits, float(np.mean(dry[:, days])), 0, rehearsed))
    return Weekends(
        advice=advice,
        first=start,
        last=end,
        wanted=tuple(dict.fromkeys((j.item.operation.id, j.item.operation.title) for j in jobs)),
        areas=areas,
        choices=_rank(found),
        instead=tuple(dict.fromkeys(_instead(advice))),
        years=len(facts.axis.years),
        law=f"{forbidden_line(case, advice.parts)} {law_line(case)}".strip(),
        whole=rehearser.whole,
        programmes=standings_of(advice, rehearser.whole),
        gates=tuple(_gates(jobs, found, gates)),
    )


class _Job(Record, frozen=True):
    item: Item
    fit: FitDays


def _instead(advice: Advice) -> Iterator[tuple[str, str]]:
    """What gives way to a plan; and what a label keeps apart, as whoever chooses is told."""
    case = advice.case
    waits = [w for operation in case.book.operations.values() for w in operation.waits]
    left_out = left_by(laws_of(case), advice.on).left_out
    for part in advice.parts:
        items = [advice.item(id, part) for id in part.decider.operations()]
        for item in items:
            if item.aside is not None and not item.operation.routine and item.need is not False:
                where = f", {part.label}" if part.label else ""
                yield f"{item.operation.title}{where}", item.aside.says
        here = {i.operation.id: i.operation.title for i in items if i.taken_up}
        for wait in waits:
            elsewhere = wait.grasses and part.decider.day.grass not in wait.grasses
            if wait.strength != "label" or not wait.choice or elsewhere:
                continue
            first = [here[id] for id in wait.after if id in here]
            then = [here[id] for id in wait.blocks if id in here]
            if first and then:
                yield (
                    listed((*first, *map(str.lower, then))),
                    with_options(wait.choice, wait.options, left_out),
                )


def _gates(jobs: list[_Job], found: list[Choice], gates: Gates) -> Iterator[Gate]:
    """For each job that breaks the soil, those of the first free day that is offered for it."""
    for job in jobs:
        for choice in found:
            fits = (fit for fit in choice.fits if (fit.operation, fit.area) == job.item.key)
            if any(fit.chance >= GOOD_CHANCE for fit in fits):
                day = next(iter(open_days(job.item, choice.run, gates)))
                yield from gates.of(job.item.operation, job.item.part.label, day)
                break


def _fits(advice: Advice, jobs: list[_Job], run: FreeRun, gates: Gates) -> Iterator[Fit]:
    for job in jobs:
        found = run_fit(job.item, job.fit, run, gates)
        if found is not None:
            item = job.item
            yield Fit(
                operation=item.operation.id,
                title=item.operation.title,
                area=item.part.label,
                needed=item.sure,
                in_season=found.in_season,
                chance=found.chance,
                minutes=advice.minutes(item),
            )


def _rank(found: list[Choice]) -> tuple[Choice, ...]:
    """Where the whole goes through most often, in tenths; of equals where most work can be
    expected to find a day, then the longer run, then the sooner."""

    def through(choice: Choice) -> int:
        return round(choice.rehearsal.through * TENTHS) if choice.rehearsal is not None else 0

    order = sorted(
        range(len(found)),
        key=lambda i: (
            -through(found[i]), -round(found[i].expected_hours, 1), -len(found[i].run.days), i
        ),
    )  # fmt: skip
    ranks = {i: rank for rank, i in enumerate(order, start=1)}
    return tuple(replace(choice, rank=ranks[i]) for i, choice in enumerate(found))
