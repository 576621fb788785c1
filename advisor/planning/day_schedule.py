"""The tasks of one day, one after another or side by side, as early as they can be done."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations

from advisor.base.record import Record
from advisor.planning.timetable import (
    Crew,
    Slot,
    Task,
    WorkDay,
    heavy_cost,
    met_hours,
    wall_minutes,
)

FEW = 5
"""So many tasks of a day are tried in every order when several people work."""


class DaySchedule(Record, frozen=True):
    """slots in order of time; hire: cost of the hired blocks; hardest: MET-hours of one person."""

    slots: tuple[Slot, ...]
    hire: float
    hardest: float


@dataclass
class _Worker:
    free: int
    minutes: float = 0.0
    met: float = 0.0


def schedule_day(tasks: Sequence[Task], day: WorkDay, crew: Crew) -> DaySchedule | None:
    """The tasks in the order given, each as early as people, machine and earlier tasks allow.

    Earlier tasks of other days are taken as done. None where they do not fit into the day.
    """
    if not day.fit:
        return None if tasks else DaySchedule((), 0.0, 0.0)
    workers = [_Worker(day.start) for _ in range(crew.people)]
    ends: dict[str, int] = {}
    machine_free: dict[str, int] = {}
    used: dict[str, tuple[int, int]] = {}
    slots = []
    for task in tasks:
        people = crew.people if task.shared else 1
        length = wall_minutes(task, people, day.rest)
        # Those who are free first; of equals those who have done least.
        chosen = sorted(workers, key=lambda w: (w.free, w.met))[:people]
        begin = max(
            max(w.free for w in chosen),
            max((ends[id] for id in task.after if id in ends), default=day.start),
            machine_free.get(task.machine or "", day.start),
        )
        end = begin + length
        if end > day.end:
            return None
        for worker in chosen:
            worker.free = end
            worker.minutes += task.minutes / people
            worker.met += met_hours(task, people)
            if worker.minutes > day.most_minutes or worker.met > day.most_met_hours:
                return None
        ends[task.id] = end
        if task.machine:
            machine_free[task.machine] = end
            first, _ = used.get(task.machine, (begin, end))
            used[task.machine] = (first, end)
        slots.append(Slot(task.id, day.date, begin, end, people))
    hire = hire_cost(used, crew.blocks)
    slots.sort(key=lambda slot: (slot.start, slot.end))
    return DaySchedule(tuple(slots), hire, max(w.met for w in workers))


def best_day(tasks: Sequence[Task], day: WorkDay, crew: Crew) -> DaySchedule | None:
    """The cheapest of the orders tried: all of them for a few tasks, else the working order and
    two others. One person does the work in the order given, which loses nothing."""
    found = None
    for order in _orders(tasks, crew.people):
        schedule = schedule_day(order, day, crew)
        if schedule is not None and (found is None or _cost(schedule) < _cost(found)):
            found = schedule
    return found


def _cost(schedule: DaySchedule) -> float:
    return schedule.hire + heavy_cost(schedule.hardest)


def _orders(tasks: Sequence[Task], people: int) -> Iterator[Sequence[Task]]:
    yield tasks
    if people == 1:
        return
    if len(tasks) <= FEW:
        yield from (order for order in permutations(tasks) if _in_order(order))
        return
    yield _sorted(tasks, lambda task: -task.minutes)
    yield _sorted(tasks, lambda task: task.shared)


def _sorted(tasks: Sequence[Task], key: Callable[[Task], float]) -> list[Task]:
    """By the key, but each task after those that it must follow."""
    left = sorted(tasks, key=key)
    done: list[Task] = []
    while left:
        waiting = {task.id for task in left}
        ready = next(task for task in left if not task.after & waiting)
        left.remove(ready)
        done.append(ready)
    return done


def _in_order(order: Sequence[Task]) -> bool:
    coming = {task.id for task in order}
    for task in order:
        coming.discard(task.id)
        if task.after & coming:
            return False
    return True


def hire_cost(
    used: Mapping[str, tuple[int, int]], blocks: Mapping[str, tuple[float, float]]
) -> float:
    """Price of the blocks that cover each hired machine from its first use to its last."""
    cost = 0.0
    for machine, (first, last) in used.items():
        if machine in blocks:
            length, price = blocks[machine]
            cost += -(-(last - first) // length) * price
    return cost
