"""The steps of a lawn's wanted work, as tasks for a plan."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Collection, Iterator, Sequence

from advisor.advice.item import Item
from advisor.amounts.hire import hired_blocks
from advisor.amounts.minutes import step_minutes
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.planning.doors import door_of
from advisor.planning.timetable import Crew, Task
from advisor.records.limits import NO_LIMITS, Limits
from advisor.rulebook.effort import Step
from advisor.rulebook.order import in_working_order

MAYBE = 0.5
"""Worth of work whose need is not known, against 1 for work that is needed (chosen)."""


def tasks_of(
    case: Case,
    items: Sequence[Item],
    barred: Callable[[Item], frozenset[dt.date]] = lambda _: frozenset(),
) -> tuple[Task, ...]:
    """The tasks in working order: operation by operation, step by step, area by area.

    The steps of an operation on an area follow each other, on one day unless the work can wait
    between them. Between operations on the same area the rule files say what comes first. barred:
    the days on which a job has to rest.
    """
    work, before = case.book.work, case.book.all_before
    found: list[Task] = []
    for id in in_working_order(case.book, {item.operation.id for item in items}):
        mine = [item for item in items if item.operation.id == id]
        steps = work.steps[id]
        for number, step in enumerate(steps):
            for item in mine:
                area = item.part.name
                previous = {task_id(item, steps[number - 1])} if number else set()
                waits = number > 0 and steps[number - 1].can_wait
                first = {
                    task_id(other, work.steps[other.operation.id][-1])
                    for other in items
                    if other.part.name == area and other.operation.id in before[id]
                }
                found.append(
                    Task(
                        id=task_id(item, step),
                        operation=id,
                        area=area,
                        title=step.title,
                        minutes=step_minutes(case, id, item.part.ground, step),
                        met=step.met,
                        machine=step.machine,
                        shared=step.machine is None,
                        after=frozenset(previous | first),
                        same_day=frozenset() if waits else frozenset(previous),
                        whole_with=frozenset(previous),
                        worth=(1.0 if item.sure else MAYBE) / len(steps),
                        barred=barred(item),
                        engine=step.machine is not None and work.machines[step.machine].engine,
                    )
                )
    return tuple(found)


def some_steps(tasks: tuple[Task, ...], steps: Collection[str]) -> tuple[Task, ...]:
    """The tasks without those steps of a job that stand on other days, and without waiting for
    them; a job of which no step is named stays whole."""
    parted = {(t.operation, t.area) for t in tasks if t.id in steps}
    left = [t for t in tasks if t.id in steps or (t.operation, t.area) not in parted]
    here = frozenset(t.id for t in left)
    return tuple(
        replace(
            t,
            after=t.after & here,
            same_day=t.same_day & here,
            whole_with=t.whole_with & here,
        )
        for t in left
    )


def task_id(item: Item, step: Step) -> str:
    """The id of the task that a step becomes."""
    return f"{item.operation.id}/{step.id}/{item.part.name}"


def crew_of(case: Case, limits: Limits = NO_LIMITS) -> Crew:
    """The people of the site, and the machines that they hire, at the keeper's own prices."""
    blocks, machines = hired_blocks(case), case.book.work.machines
    return Crew(
        people=case.site.people.number or 1,
        blocks=blocks,
        doors={id: door_of(machines[id], machines.values()) for id in blocks},
        most_hire=limits.hire,
        lifts=limits.lifting,
        machines=limits.machines,
    )


def machines_needed(tasks: Sequence[Task]) -> Iterator[str]:
    """Each machine once, in the order of its first use."""
    yield from dict.fromkeys(task.machine for task in tasks if task.machine)
