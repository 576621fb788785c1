"""The steps of a lawn's wanted work, as tasks for a plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from advisor.amounts.hire import hired_blocks
from advisor.amounts.minutes import step_minutes
from advisor.cases.case import Case
from advisor.cases.parts import Part
from advisor.planning.fit_days import FitDays, fit_days
from advisor.planning.gates import WHOLE
from advisor.planning.timetable import Crew, Task
from advisor.rulebook.model import Operation
from advisor.rulebook.order import all_before, in_working_order
from advisor.rulebook.steps import Step
from advisor.verdicts.decide import Decision

MAYBE = 0.5
"""Worth of work whose need is not known, against 1 for work that is needed (chosen)."""


@dataclass(frozen=True)
class Wanted:
    """An operation to plan on a part of the lawn."""

    decision: Decision
    part: Part

    @property
    def operation(self) -> Operation:
        return self.decision.operation

    @property
    def area(self) -> str:
        return self.part.label or WHOLE

    @cached_property
    def fit(self) -> FitDays | None:
        """The days that suit it, on the years of the record; None without weather."""
        return fit_days(self.part.decider, self.operation.id)

    def task_id(self, step: Step) -> str:
        """The id of the task that a step becomes."""
        return f"{self.operation.id}/{step.id}/{self.area}"


def tasks_of(
    case: Case,
    wanted: Sequence[Wanted],
    barred: Callable[[Wanted], frozenset[dt.date]] = lambda _: frozenset(),
) -> tuple[Task, ...]:
    """The tasks in working order: operation by operation, step by step, area by area.

    The steps of an operation on an area follow each other on one day. Between operations on the
    same area the rule files say what comes first. barred: the days on which a job has to rest.
    """
    work = case.book.work
    ranked = in_working_order(case.book, {w.operation.id for w in wanted})
    before = all_before(case.book)
    found: list[Task] = []
    for id in ranked:
        mine = [w for w in wanted if w.operation.id == id]
        for number, step in enumerate(work.steps[id]):
            for job in mine:
                steps = work.steps[id]
                previous = {job.task_id(steps[number - 1])} if number else set()
                first = {
                    other.task_id(work.steps[other.operation.id][-1])
                    for other in wanted
                    if other.area == job.area and other.operation.id in before[id]
                }
                found.append(
                    Task(
                        id=job.task_id(step),
                        operation=id,
                        area=job.area,
                        title=step.title,
                        minutes=step_minutes(case, id, job.part.ground, step),
                        met=step.met,
                        machine=step.machine,
                        shared=step.machine is None,
                        after=frozenset(previous | first),
                        same_day=frozenset(previous),
                        worth=_worth(job.decision) / len(steps),
                        barred=barred(job),
                    )
                )
    return tuple(found)


def _worth(decision: Decision) -> float:
    return 1.0 if decision.judgement.truths["need"] else MAYBE


def crew_of(case: Case) -> Crew:
    """The people of the site, and the machines that they hire, at the keeper's own prices."""
    return Crew(case.site.people.number or 1, hired_blocks(case))


def machines_needed(tasks: Sequence[Task]) -> Iterator[str]:
    """Each machine once, in the order of its first use."""
    yield from dict.fromkeys(task.machine for task in tasks if task.machine)
