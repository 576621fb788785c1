"""The steps of a lawn's wanted work, as tasks for a plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from advisor.answers.amounts import M2_IN_1000_FT2
from advisor.answers.lawn import Lawn, Part
from advisor.planning.field_capacity import minutes_of_work
from advisor.planning.fit_days import FitDays, fit_days
from advisor.planning.gates import WHOLE
from advisor.planning.timetable import Crew, Task
from advisor.rulebook.model import Operation
from advisor.rulebook.order import all_before, in_working_order
from advisor.rulebook.work_steps import Machine, Step, Work
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
    lawn: Lawn,
    wanted: Sequence[Wanted],
    work: Work,
    barred: Callable[[Wanted], frozenset[dt.date]] = lambda _: frozenset(),
) -> tuple[Task, ...]:
    """The tasks in working order: operation by operation, step by step, area by area.

    The steps of an operation on an area follow each other on one day. Between operations on the
    same area the rule files say what comes first. barred: the days on which a job has to rest.
    """
    ranked = in_working_order(lawn.book, {w.operation.id for w in wanted})
    before = all_before(lawn.book)
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
                        minutes=step_minutes(lawn, job, step, work),
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


def step_minutes(lawn: Lawn, job: Wanted, step: Step, work: Work) -> float:
    """Minutes of one person: by machine and area, by hand the middle of the range.

    A time that the keeper noted for the operation on this part (`took`) stands above ours.
    """
    ours = {s.id: _minutes(lawn, job.part, s, work) for s in work.steps[job.operation.id]}
    own = _own_minutes(lawn, job)
    if own is None:
        return ours[step.id]
    return own * ours[step.id] / sum(ours.values())


def _minutes(lawn: Lawn, part: Part, step: Step, work: Work) -> float:
    if step.by_hand_min is not None:
        return sum(step.by_hand_min) / 2 * part.size_m2 / M2_IN_1000_FT2
    machine = work.machines[step.machine or ""]
    width = _own_width(lawn, machine) or machine.width_m
    return minutes_of_work(part.size_m2, step.passes, machine.speed_m_s, width, machine.efficiency)


def _own_width(lawn: Lawn, machine: Machine) -> float | None:
    widths = [t.width / 1000 for t in lawn.site.tools if t.kind == machine.id and t.width]
    return widths[0] if widths else None


def _own_minutes(lawn: Lawn, job: Wanted) -> float | None:
    """What the operation took here before, scaled to the part's size; the newest that is known."""
    sizes = {area.name: area.size for area in lawn.site.areas}
    for entry in reversed(lawn.journal.work(job.operation.id)):
        took = entry.details.get("took")
        if isinstance(took, float) and (not entry.area or entry.area in job.part.areas):
            size = sizes.get(entry.area, lawn.site.total_area)
            return took * 60 * job.part.size_m2 / size
    return None


def _worth(decision: Decision) -> float:
    return 1.0 if decision.judgement.truths["need"] else MAYBE


def crew_of(lawn: Lawn, work: Work) -> Crew:
    """The people of the site, and the machines that they hire, at the keeper's own prices."""
    blocks: dict[str, tuple[float, float]] = {}
    for tool in lawn.site.tools:
        if tool.have == "hired":
            hours = tool.block or work.machines[tool.kind].hired_h or 4.0
            blocks[tool.kind] = (hours * 60, tool.price or 0.0)
    return Crew(lawn.site.people.number or 1, blocks)


def machines_needed(tasks: Sequence[Task]) -> Iterator[str]:
    """Each machine once, in the order of its first use."""
    yield from dict.fromkeys(task.machine for task in tasks if task.machine)
