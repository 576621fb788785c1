"""The order of a day's tasks: the cheapest of those that are tried."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import permutations

from advisor.planning.day_schedule import DaySchedule, schedule_day
from advisor.planning.doors import ERRAND_MET, bringing_back, fetching
from advisor.planning.timetable import Crew, Task, WorkDay, met_hours, plan_cost

FEW = 5
"""So many tasks of a day are tried in every order where the order matters."""


def best_day(tasks: Sequence[Task], day: WorkDay, crew: Crew) -> DaySchedule | None:
    """The cheapest of the orders tried: all of them for a few tasks, else the working order and
    some others. Where order loses nothing, one person does the work in the order given."""
    least = _least(tasks, day, crew)
    if least is None:
        return None
    found: DaySchedule | None = None
    cost = float("inf")
    used, held = {task.machine for task in tasks}, {id for id, _ in day.held}
    hired = (used | held) & crew.doors.keys()
    ways = [(True, True), (False, True)] if len(hired) > 1 else [(True, True)]
    if held - used:
        ways += [(one_trip, False) for one_trip, _ in ways]
    for order in _orders(tasks, day, crew):
        for one_trip, back_first in ways:
            schedule = schedule_day(order, day, crew, one_trip=one_trip, back_first=back_first)
            if schedule is not None and (new := cost_of_day(schedule)) < cost - 1e-9:
                if crew.most_hire is not None and schedule.hire > crew.most_hire + 1e-9:
                    continue
                found, cost = schedule, new
                if cost <= least + 1e-9:
                    return found
    return found


def cost_of_day(schedule: DaySchedule) -> float:
    """What a day costs by itself."""
    return plan_cost(0, schedule.hire, 0, schedule.hardest, schedule.trips)


def _least(tasks: Sequence[Task], day: WorkDay, crew: Crew) -> float | None:
    """No order of the tasks costs less; None where no order can fit."""
    people = crew.people + len(day.helpers)
    minutes = sum(task.minutes for task in tasks)
    effort = sum(met_hours(task, 1) for task in tasks)
    machines = {task.machine for task in tasks if task.machine}
    doors = [crew.doors[id] for id in sorted(machines & crew.doors.keys())]
    if doors:
        held = {id for id, _ in day.held}
        far = [crew.doors[id] for id in sorted((machines - held) & crew.doors.keys())]
        away = bringing_back(doors).minutes + (fetching(far).minutes if far else 0)
        minutes, effort = minutes + away, effort + ERRAND_MET * away / 60
    if minutes > day.most_minutes * people + 1e-6 or effort > day.most_met_hours * people + 1e-6:
        return None
    hire = sum(crew.blocks[id][1] for id in machines & crew.blocks.keys())
    if crew.most_hire is not None and hire > crew.most_hire + 1e-9:
        return None
    return plan_cost(0, hire, 0, effort / people, int(bool(doors)))


def _orders(tasks: Sequence[Task], day: WorkDay, crew: Crew) -> Iterator[Sequence[Task]]:
    yield tasks
    bound = (day.parts, day.engines, day.shop, *day.helpers)
    hired = any(task.machine in crew.doors for task in tasks)
    if crew.people == 1 and not hired and all(each is None for each in bound):
        return
    if len(tasks) <= FEW:
        yield from (order for order in permutations(tasks) if _in_order(order))
        return
    keys: list[Callable[[Task], float]] = []
    if hired:
        keys += [lambda t: t.machine not in crew.doors, lambda t: t.machine in crew.doors]
    if day.engines is not None:
        keys += [lambda t: t.engine, lambda t: not t.engine]
    if crew.people + len(day.helpers) > 1:
        keys += [lambda t: -t.minutes, lambda t: t.shared]
    for key in keys:
        yield _sorted(tasks, key)


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
