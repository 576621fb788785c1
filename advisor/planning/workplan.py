"""A work plan: which job on which free day, at what time, with what, and what if it rains."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass

from advisor.advice.book import Advice, OfAdvice
from advisor.advice.gates import Gate, Gates
from advisor.advice.item import Item
from advisor.answers.answer import answer_of
from advisor.answers.words import listed
from advisor.base.dates import ONE_DAY
from advisor.base.problems import BadInput, Place
from advisor.base.record import Record
from advisor.base.text import uncapped
from advisor.planning.check_plan import plan_faults
from advisor.planning.cuts import Cut, cuts
from advisor.planning.exclusions import keep_apart
from advisor.planning.fit_days import Fits
from advisor.planning.lawn_tasks import crew_of, some_steps, task_id, tasks_of
from advisor.planning.make_plan import make_plan
from advisor.planning.next_day import NextDay, next_day
from advisor.planning.timetable import Crew, Plan, Task, WorkDay
from advisor.planning.unwatered import Unwatered, unwatered
from advisor.planning.withheld import (
    barred_by_gates,
    barred_by_verdict,
    in_season_on,
    late_gates,
)
from advisor.planning.work_days import work_days
from advisor.records.limits import Limits
from advisor.rulebook.effort import Work

MOST_DAYS = 7


class Left(Record, frozen=True):
    """Work that is wanted and not in the plan, and why."""

    item: Item
    why: str


class Shut(Record, frozen=True):
    """Work that breaks the soil and whose gates cannot be had in time for any day of the plan.

    then: the first free day after the plan for which they can, as likely fit as not.
    """

    item: Item
    gates: tuple[Gate, ...]
    then: NextDay | None

    @property
    def why(self) -> str:
        """What is missing."""
        missing = listed(tuple(gate.rule.missing for gate in self.gates))
        return f"{missing}, and could not be in time"


@dataclass(frozen=True)
class WorkPlan(OfAdvice):
    """items: the jobs to plan. work: the steps and machines behind the tasks. rain: days that the
    keeper expects wet.

    left: wanted work that stands outside the plan. next_days: for each operation of the plan the
    first free day after it that is as likely fit as not. gates: of the work that has an hour. shut:
    work whose gates leave it no day.
    """

    advice: Advice
    days: tuple[WorkDay, ...]
    crew: Crew
    work: Work
    items: tuple[Item, ...]
    tasks: tuple[Task, ...]
    plan: Plan
    left: tuple[Left, ...]
    next_days: dict[str, NextDay | None]
    rain: tuple[dt.date, ...] = ()
    gates: tuple[Gate, ...] = ()
    shut: tuple[Shut, ...] = ()
    cuts: tuple[Cut, ...] = ()
    unwatered: tuple[Unwatered, ...] = ()

    @property
    def by_id(self) -> dict[str, Task]:
        """The tasks by id."""
        return {task.id: task for task in self.tasks}

    @property
    def with_hours(self) -> tuple[Item, ...]:
        """The jobs of which at least one step has a time, in working order."""
        done = {(self.by_id[s.task].operation, self.by_id[s.task].area) for s in self.plan.slots}
        rank = self.case.book.working_rank
        found = [i for i in self.items if (i.operation.id, i.part.name) in done]
        return tuple(sorted(found, key=lambda item: rank[item.operation.id]))


def compose_workplan(
    advice: Advice,
    first: dt.date,
    days: int,
    *,
    rain: Iterable[dt.date] = (),
    only: Sequence[str] = (),
    these: Callable[[Item], bool] | None = None,
    steps: Collection[str] = (),
) -> WorkPlan:
    """The plan for `days` days from `first`. only: plan just these operations; these: just such
    jobs on such parts; steps: of a job with a step among these just those, as the rest of it has
    days of its own.

    Raises `BadInput` for days that cannot be planned, an operation that has no steps, or a lawn of
    unknown size.
    """
    case, wet = advice.case, tuple(sorted(set(rain)))
    _check(advice.on, first, days)
    if case.site.total_area is None:
        raise BadInput.at(case.place(), "how big the lawn is is not known, so no hours can be told")
    dates = [first + ahead * ONE_DAY for ahead in range(days)]
    work = case.book.work
    for id in only:
        if id not in work.steps:
            what = f"'{id}' has no steps to plan; known: {', '.join(sorted(work.steps))}"
            raise BadInput.at(Place("--only"), what)
    gates = advice.gates
    fits = Fits()
    wanted = (lambda item: item.operation.id in only) if only else these
    chosen, left = _choose(advice, fits, dates, wanted)
    after = dates[-1] + ONE_DAY
    found = [(item, late_gates(gates, item, dates)) for item in chosen]
    shut = tuple(
        Shut(item, late, next_day(gates, fits, [item], after)) for item, late in found if late
    )
    items, apart = keep_apart([item for item, late in found if not late], case.book.all_before)
    tasks = some_steps(tasks_of(case, items, lambda i: _barred(gates, fits, i, dates)), steps)

    def within(limits: Limits) -> tuple[tuple[WorkDay, ...], Crew]:
        weather = advice.parts[0].decider.day.weather
        return work_days(case.site, dates, weather, wet, limits), crew_of(case, limits)

    possible, crew = within(case.limits)
    plan = make_plan(tasks, possible, crew)
    faults = plan_faults(plan, tasks, possible, crew)
    if faults:
        raise AssertionError(f"the plan breaks its own rules: {'; '.join(faults)}")
    return WorkPlan(
        advice=advice,
        days=possible,
        crew=crew,
        work=work,
        items=items,
        tasks=tasks,
        plan=plan,
        left=(*(Left(s.item, s.why) for s in shut), *(Left(i, why) for i, why in apart), *left),
        next_days={
            id: next_day(gates, fits, [i for i in items if i.operation.id == id], after)
            for id in dict.fromkeys(item.operation.id for item in items)
        },
        rain=wet,
        gates=tuple(_gates_of(gates, items, plan)),
        shut=shut,
        cuts=cuts(case.limits, plan, tasks, items, lambda less: make_plan(tasks, *within(less))),
        unwatered=tuple(unwatered(case.limits, plan, tasks, items)),
    )


def _check(on: dt.date, first: dt.date, days: int) -> None:
    if first < on:
        raise BadInput.at(Place("--from"), f"{first} is before {on}; a plan looks ahead")
    if not 1 <= days <= MOST_DAYS:
        raise BadInput.at(Place("--days"), f"{days} days; wanted 1 to {MOST_DAYS}")


def _choose(
    advice: Advice,
    fits: Fits,
    dates: Sequence[dt.date],
    wanted: Callable[[Item], bool] | None,
) -> tuple[tuple[Item, ...], tuple[Left, ...]]:
    """Work that is taken up, in season on the days, and that nothing holds back; and the rest.

    What was asked for by name is planned although nobody knows yet whether it is needed.
    """
    chosen, left = [], []
    for item in advice.items():
        if not wanted and (item.need is False or item.goes_on or not item.raised):
            continue
        if wanted and not wanted(item):
            continue
        why = _why_not(advice, fits, item, dates, named=wanted is not None)
        if why:
            left.append(Left(item, why))
        else:
            chosen.append(item)
    return tuple(chosen), tuple(left)


def _why_not(
    advice: Advice, fits: Fits, item: Item, dates: Sequence[dt.date], *, named: bool
) -> str:
    decision = item.decision
    if decision.for_good:
        return decision.conflicts[0].says
    law = item.part.decider.day.law
    if "blackout" in item.operation.laws and any(law.bans_feeding(date) for date in dates):
        return "the law here forbids it on these days"
    if item.barred:
        return "ruled out"
    if item.verdict == "missed" and not item.near((dates[-1] - advice.on).days):
        return OVER
    seasonable = in_season_on(fits, item, dates)
    if seasonable is None:
        return "its season is not known without weather"
    if not seasonable:
        return NOT_IN_SEASON
    if item.spare_for:
        return f"{advice.case.book.operations[item.spare_for].title.lower()} can still be had"
    if item.operation.id not in advice.case.book.work.steps:
        return NO_STEPS if item.sure else _headline(advice, item)
    if not (item.sure or named) or seasonable <= barred_by_verdict(item, dates):
        return _headline(advice, item)
    return ""


OVER, NOT_IN_SEASON = "its season is over", "not in season on these days"
NO_STEPS = "in season, but how long it takes is not known here"


def find_out(item: Item) -> str:
    """The fact to find out before the work, where something is not known yet; empty otherwise."""
    decision, vocabulary = item.decision, item.part.decider.book.vocabulary
    if item.verdict != "measure":
        return ""
    unknown = (name for name in decision.outcomes if decision.values.get(name) is None)
    return next((vocabulary[name].title for name in unknown), "")


def _headline(advice: Advice, item: Item) -> str:
    """What an answer says of a job that has no day, as the end of a line."""
    if item.decision.conflicts:
        return item.decision.conflicts[0].says
    said = answer_of(advice, item, amounts=()).headline
    return uncapped(said)


def _barred(gates: Gates, fits: Fits, item: Item, dates: Sequence[dt.date]) -> frozenset[dt.date]:
    """The days on which a job has to rest."""
    seasonable = in_season_on(fits, item, dates)
    out = frozenset(dates) - seasonable if seasonable is not None else frozenset()
    return out | barred_by_gates(gates, item, dates) | barred_by_verdict(item, dates)


def _gates_of(gates: Gates, items: Sequence[Item], plan: Plan) -> Iterator[Gate]:
    """The gates of each job that breaks the soil, for the day on which it does."""
    days = {slot.task: slot.date for slot in plan.slots}
    for item in items:
        steps = gates.case.book.work.steps[item.operation.id]
        for step in steps:
            day = days.get(task_id(item, step))
            if step.breaks_soil and day is not None:
                yield from gates.of(item.operation, item.part.label, day)
