"""A work plan: which job on which free day, at what time, with what, and what if it rains."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from advisor.answers.words import listed
from advisor.base.dates import ONE_DAY
from advisor.base.problems import BadInput, Place
from advisor.cases.case import Case
from advisor.cases.parts import Part, parts_on
from advisor.planning.check_plan import plan_faults
from advisor.planning.exclusions import keep_apart
from advisor.planning.fit_days import day_slice
from advisor.planning.free_days import free_runs
from advisor.planning.gates import Gate, Gates
from advisor.planning.lawn_tasks import Wanted, crew_of, tasks_of
from advisor.planning.make_plan import make_plan
from advisor.planning.timetable import Crew, Plan, Task, WorkDay
from advisor.planning.withheld import (
    barred_by_gates,
    barred_by_verdict,
    late_gates,
    why_withheld,
)
from advisor.planning.work_days import work_days
from advisor.rulebook.order import all_before
from advisor.rulebook.steps import Work

MOST_DAYS = 7
EVEN = 0.5
SALVAGE_DAYS = 42
"""How far ahead other free days are sought when a plan breaks."""


@dataclass(frozen=True)
class Left:
    """Work that is wanted and not in the plan, and why."""

    wanted: Wanted
    why: str


@dataclass(frozen=True)
class NextDay:
    """The next free day for an operation, and in which share of the years it is fit for it."""

    date: dt.date
    chance: float


@dataclass(frozen=True)
class Shut:
    """Work that breaks the soil and whose gates cannot be had in time for any day of the plan.

    then: the first free day after the plan for which they can, as likely fit as not.
    """

    wanted: Wanted
    gates: tuple[Gate, ...]
    then: NextDay | None

    @property
    def why(self) -> str:
        """What is missing."""
        missing = listed(tuple(gate.rule.missing for gate in self.gates))
        return f"{missing}, and could not be in time"


@dataclass(frozen=True)
class WorkPlan:
    """work: the steps and machines behind the tasks. rain: days that the keeper expects wet.

    left: wanted work that stands outside the plan. next_days: for each operation of the plan the
    first free day after it that is as likely fit as not. gates: of the work that has an hour. shut:
    work whose gates leave it no day.
    """

    case: Case
    days: tuple[WorkDay, ...]
    crew: Crew
    work: Work
    wanted: tuple[Wanted, ...]
    tasks: tuple[Task, ...]
    plan: Plan
    left: tuple[Left, ...]
    next_days: dict[str, NextDay | None]
    rain: tuple[dt.date, ...] = ()
    gates: tuple[Gate, ...] = ()
    shut: tuple[Shut, ...] = ()

    @property
    def on(self) -> dt.date:
        """The day on which it was made."""
        return self.case.on

    @property
    def by_id(self) -> dict[str, Task]:
        """The tasks by id."""
        return {task.id: task for task in self.tasks}

    @property
    def with_hours(self) -> tuple[Wanted, ...]:
        """Wanted work of which at least one step has a time, in working order."""
        done = {(self.by_id[s.task].operation, self.by_id[s.task].area) for s in self.plan.slots}
        order = list(dict.fromkeys(task.operation for task in self.tasks))
        found = [w for w in self.wanted if (w.operation.id, w.area) in done]
        return tuple(sorted(found, key=lambda w: order.index(w.operation.id)))


def compose_workplan(
    case: Case,
    first: dt.date,
    days: int,
    *,
    rain: Iterable[dt.date] = (),
    only: Sequence[str] = (),
) -> WorkPlan:
    """The plan for `days` days from `first`. only: plan just these operations.

    Raises `BadInput` for days that cannot be planned, an operation that has no steps, or a lawn of
    unknown size.
    """
    wet = tuple(sorted(set(rain)))
    _check(case.on, first, days)
    if case.site.total_area is None:
        raise BadInput.at(case.place(), "how big the lawn is is not known, so no hours can be told")
    dates = [first + ahead * ONE_DAY for ahead in range(days)]
    parts = parts_on(case)
    facts = parts[0].decider.day.weather
    work = case.book.work
    for id in only:
        if id not in work.steps:
            what = f"'{id}' has no steps to plan; known: {', '.join(sorted(work.steps))}"
            raise BadInput.at(Place("--only"), what)
    gates = Gates(case)
    wanted, left = _choose(case, parts, work, dates, only)
    after = dates[-1] + ONE_DAY
    found = [(w, late_gates(gates, w, dates)) for w in wanted]
    shut = tuple(Shut(w, late, _next_day(gates, [w], after)) for w, late in found if late)
    wanted, apart = keep_apart([w for w, late in found if not late], all_before(case.book))
    tasks = tasks_of(
        case, wanted, lambda w: barred_by_gates(gates, w, dates) | barred_by_verdict(w, dates)
    )
    crew = crew_of(case)
    possible = work_days(case.site, dates, facts, wet)
    plan = make_plan(tasks, possible, crew)
    faults = plan_faults(plan, tasks, possible, crew)
    if faults:
        raise AssertionError(f"the plan breaks its own rules: {'; '.join(faults)}")
    return WorkPlan(
        case=case,
        days=possible,
        crew=crew,
        work=work,
        wanted=wanted,
        tasks=tasks,
        plan=plan,
        left=(*(Left(s.wanted, s.why) for s in shut), *(Left(w, why) for w, why in apart), *left),
        next_days={
            id: _next_day(gates, [w for w in wanted if w.operation.id == id], after)
            for id in dict.fromkeys(w.operation.id for w in wanted)
        },
        rain=wet,
        gates=tuple(_gates_of(gates, wanted, tasks, plan)),
        shut=shut,
    )


def _check(on: dt.date, first: dt.date, days: int) -> None:
    if first < on:
        raise BadInput.at(Place("--from"), f"{first} is before {on}; a plan looks ahead")
    if not 1 <= days <= MOST_DAYS:
        raise BadInput.at(Place("--days"), f"{days} days; wanted 1 to {MOST_DAYS}")


def _choose(
    case: Case, parts: Sequence[Part], work: Work, dates: Sequence[dt.date], only: Sequence[str]
) -> tuple[tuple[Wanted, ...], tuple[Left, ...]]:
    """Work that is wanted, in season on the days, and that nothing rules out; and the rest."""
    chosen, left = [], []
    for part in parts:
        for id in part.decider.operations():
            if only and id not in only:
                continue
            wanted = Wanted(part.decider.decide(id), part)
            decision = wanted.decision
            need = decision.judgement.truths["need"]
            if need is False or (decision.operation.routine and id not in only):
                continue
            why = _why_not(case, wanted, work, dates)
            if why:
                left.append(Left(wanted, why))
            else:
                chosen.append(wanted)
    return tuple(chosen), tuple(left)


def _why_not(case: Case, wanted: Wanted, work: Work, dates: Sequence[dt.date]) -> str:
    decision = wanted.decision
    if decision.for_good:
        return decision.conflicts[0].says
    law = wanted.part.decider.day.law
    if "blackout" in decision.operation.laws and any(law.bans_feeding(date) for date in dates):
        return "the law here forbids it on these days"
    if decision.verdict in ("ruled_out", "missed"):
        return "ruled out" if decision.verdict == "ruled_out" else "its season is over"
    chance = _in_season(wanted, dates)
    if chance is None:
        return "its season is not known without weather"
    if chance < EVEN:
        return "not in season on these days"
    if wanted.operation.id not in work.steps:
        return "it has no steps to plan"
    if len(barred_by_verdict(wanted, dates)) == len(dates):
        return why_withheld(wanted, case)
    return ""


def _in_season(wanted: Wanted, dates: Sequence[dt.date]) -> float | None:
    facts = wanted.part.decider.day.weather
    if facts is None or wanted.fit is None:
        return None
    days = day_slice(facts, dates[0], dates[-1])
    return wanted.fit.chance_in_season(days) if days is not None else None


def _gates_of(
    gates: Gates, wanted: Sequence[Wanted], tasks: Sequence[Task], plan: Plan
) -> Iterator[Gate]:
    """The gates of each job that breaks the soil, for the day on which it has an hour."""
    by_id = {task.id: task for task in tasks}
    days = {(by_id[s.task].operation, by_id[s.task].area): s.date for s in plan.slots}
    for job in wanted:
        day = days.get((job.operation.id, job.area))
        if day is not None:
            yield from gates.of(job.operation, job.part.label, day)


def _next_day(gates: Gates, parts: Sequence[Wanted], after: dt.date) -> NextDay | None:
    """The first free day from `after` on that no gate bars and that is as likely fit as not.

    parts: one operation on each part of the lawn; the least likely of them counts.
    """
    facts = parts[0].part.decider.day.weather
    if facts is None:
        return None
    for date in _free_dates(gates.case, after):
        if any(gates.bars(w.operation, w.part.label, date) for w in parts):
            continue
        days = day_slice(facts, date, date)
        chances = [w.fit.chance(days) if w.fit and days else None for w in parts]
        known = [chance for chance in chances if chance is not None]
        if len(known) == len(chances) and min(known) >= EVEN:
            return NextDay(date, min(known))
    return None


def _free_dates(case: Case, after: dt.date) -> Iterator[dt.date]:
    for run in free_runs(case.site, after, after + SALVAGE_DAYS * ONE_DAY):
        yield from run.days
