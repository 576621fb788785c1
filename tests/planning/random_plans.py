"""Random crews, days and tasks: some built from a plan that exists, some from nothing."""

from __future__ import annotations

import datetime as dt
import random
from itertools import permutations, product

from advisor.base.record import replace
from advisor.planning.day_schedule import schedule_day
from advisor.planning.make_plan import plan_cost
from advisor.planning.timetable import Crew, Task, WorkDay

FIRST = dt.date(2026, 9, 5)
AREAS = ("front", "back", "side")
# operation: (machine or None, effort, shared) of each step, which must follow each other in one day
JOBS = {
    "low_mow": [("mower", 4.5, False)],
    "thatch": [("vertical_mower", 6.0, False), (None, 4.0, True)],
    "coring": [("core_aerator", 6.0, False)],
    "seed": [("spreader", 2.5, False), (None, 4.0, True), (None, 1.5, True)],
    "feed": [("spreader", 2.5, False)],
}


def random_tasks(rng: random.Random, most: int) -> tuple[Task, ...]:
    """Some operations on some areas, in working order."""
    areas = AREAS[: rng.randint(1, 3)]
    operations = [name for name in JOBS if rng.random() < 0.7] or ["feed"]
    tasks: list[Task] = []
    last: dict[str, str] = {}
    for operation in operations:
        scale = {area: rng.uniform(5, 70) for area in areas}
        for number, (machine, met, shared) in enumerate(JOBS[operation]):
            for area in areas:
                id = f"{operation}.{number}.{area}"
                if len(tasks) >= most:
                    return tuple(tasks)
                ahead = {last[area]} if area in last else set()
                same = {f"{operation}.{number - 1}.{area}"} if number else set()
                tasks.append(
                    Task(
                        id=id, operation=operation, area=area, title=operation,
                        minutes=scale[area] * rng.uniform(0.5, 1.5), met=met, machine=machine,
                        shared=shared, after=frozenset(ahead | same), same_day=frozenset(same),
                        worth=rng.choice((0.5, 1.0, 2.0)),
                    )
                )  # fmt: skip
        for area in areas:
            mine = [t.id for t in tasks if t.operation == operation and t.area == area]
            last[area] = mine[-1] if mine else last.get(area, "")
    return tuple(tasks)


def that_can_wait(rng: random.Random, tasks: tuple[Task, ...]) -> tuple[Task, ...]:
    """The same, but some steps need not follow on the same day; the job stays whole."""
    return tuple(
        replace(task, same_day=frozenset(), whole_with=task.same_day)
        if rng.random() < 0.6
        else task
        for task in tasks
    )


def random_days(rng: random.Random) -> tuple[WorkDay, ...]:
    return tuple(
        WorkDay(
            date=FIRST + dt.timedelta(days=number),
            start=rng.choice((480, 540, 600)),
            end=rng.choice((900, 1020, 1140)),
            most_minutes=rng.choice((180, 300, 360, 480)),
            most_met_hours=rng.choice((12, 20, 26)),
            rest=rng.choice((0, 5, 10, 15)),
            fit=rng.random() < 0.85,
        )
        for number in range(rng.randint(1, 4))
    )


def random_crew(rng: random.Random) -> Crew:
    blocks = {m: (240.0, rng.choice((60.0, 85.0))) for m in ("vertical_mower", "core_aerator")}
    return Crew(rng.randint(1, 3), blocks if rng.random() < 0.7 else {})


def best_by_force(tasks: tuple[Task, ...], days: tuple[WorkDay, ...], crew: Crew) -> float:
    """The least cost over every choice of days and every order in each day."""
    best = float("inf")
    for choice in product([*range(len(days)), None], repeat=len(tasks)):
        cost = _cost_of(choice, tasks, days, crew)
        best = min(best, cost)
    return best


def _cost_of(
    choice: tuple[int | None, ...],
    tasks: tuple[Task, ...],
    days: tuple[WorkDay, ...],
    crew: Crew,
) -> float:
    on = {task.id: day for task, day in zip(tasks, choice, strict=True)}
    for task in tasks:
        day = on[task.id]
        if any(on[id] != day for id in task.same_day):
            return float("inf")
        if any((on[id] is None) != (day is None) for id in task.whole_with):
            return float("inf")
        if day is not None and any(on[id] is not None and on[id] > day for id in task.after):
            return float("inf")
    lost = sum(task.worth for task in tasks if on[task.id] is None)
    hire = hardest = 0.0
    waits = 0
    for number, day in enumerate(days):
        todo = [task for task in tasks if on[task.id] == number]
        found = [
            schedule
            for order in permutations(todo)
            if _in_order(order) and (schedule := schedule_day(order, day, crew)) is not None
        ]
        if not found:
            return float("inf")
        best = min(found, key=lambda s: plan_cost(0, s.hire, 0, s.hardest))
        hire += best.hire
        hardest = max(hardest, best.hardest)
        waits += number * len(todo)
    return plan_cost(lost, hire, waits, hardest)


def _in_order(order: tuple[Task, ...]) -> bool:
    seen: set[str] = set()
    ids = {task.id for task in order}
    for task in order:
        if (task.after & ids) - seen:
            return False
        seen.add(task.id)
    return True


def built_feasible(
    rng: random.Random,
) -> tuple[tuple[Task, ...], tuple[WorkDay, ...], Crew, float]:
    """Tasks spread over days in working order, and days made just long enough for them.

    Returns the cost of that plan too; the best may be cheaper.
    """
    tasks, crew = random_tasks(rng, 10), random_crew(rng)
    number = rng.randint(1, 3)
    jobs = list(dict.fromkeys(task.operation for task in tasks))
    cuts = sorted(rng.randrange(number) for _ in jobs)
    on = dict(zip(jobs, cuts, strict=True))
    wide = WorkDay(FIRST, 480, 24 * 60, 1e9, 1e9, rest=5)
    days, hire, hardest, waits = [], 0.0, 0.0, 0
    for day in range(number):
        todo = [task for task in tasks if on[task.operation] == day]
        found = schedule_day(todo, wide, crew)
        assert found is not None
        minutes = sum(t.minutes for t in todo)
        days.append(
            WorkDay(
                date=FIRST + dt.timedelta(days=day), start=480,
                end=max((s.end for s in found.slots), default=480),
                most_minutes=max(minutes, 1), most_met_hours=max(found.hardest, 1), rest=5,
            )
        )  # fmt: skip
        hire += found.hire
        hardest = max(hardest, found.hardest)
        waits += day * len(todo)
    return tasks, tuple(days), crew, plan_cost(0, hire, waits, hardest)
