"""Random crews, days and tasks: some built from a plan that exists, some from nothing."""

from __future__ import annotations

import datetime as dt
import random
from itertools import permutations, product

from advisor.base.record import replace
from advisor.planning.day_schedule import schedule_day
from advisor.planning.doors import Door
from advisor.planning.timetable import Crew, Task, WorkDay, plan_cost

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


ENGINES = {"mower", "vertical_mower", "core_aerator"}


def with_engines(tasks: tuple[Task, ...]) -> tuple[Task, ...]:
    return tuple(replace(task, engine=task.machine in ENGINES) for task in tasks)


def random_limits(
    rng: random.Random, days: tuple[WorkDay, ...], crew: Crew
) -> tuple[tuple[WorkDay, ...], Crew]:
    """Some of the limits that a keeper may set, and hired machines from door to door."""
    parts = rng.choice((None, None, ((480, 720), (960, 1140)), ((780, 1020),), ((540, 600),)))
    engines = rng.choice((None, None, ((600, 720), (840, 1080)), ((540, 1140),), ()))
    shop = rng.choice((None, None, ((480, 720),), ((420, 1080),), ()))
    limited = []
    for day in days:
        helpers = rng.choice(((), (), ((480, 720),), ((600, 900), (480, 720))))
        machines = sorted(ENGINES)
        limited.append(
            replace(
                day,
                fit=day.fit and rng.random() < 0.9,
                parts=parts and tuple(
                    (max(s, day.start), min(e, day.end))
                    for s, e in parts
                    if max(s, day.start) < min(e, day.end)
                ),
                errands=parts or ((420, 1260),),
                engines=engines if rng.random() < 0.7 else None,
                shop=shop if rng.random() < 0.7 else None,
                helpers=helpers,
                away=frozenset(rng.sample(machines, 1)) if rng.random() < 0.2 else frozenset(),
            )
        )  # fmt: skip
    blocks = {m: (rng.choice((120.0, 240.0)), rng.choice((0.0, 60.0, 85.0)))
              for m in ("vertical_mower", "core_aerator")}  # fmt: skip
    doors = {
        m: Door(rng.choice((20, 30)), 10, 10, rng.choice((5, 15)), 30, pair=rng.random() < 0.5)
        for m in blocks
        if rng.random() < 0.8
    }
    return tuple(limited), replace(
        crew, blocks=blocks, doors=doors, lifts=rng.random() < 0.7, machines=rng.random() < 0.9,
        most_hire=rng.choice((None, None, 60.0, 100.0, 170.0)),
    )  # fmt: skip


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
    if any(
        day is not None and not _allowed(task, days[day], crew)
        for task, day in zip(tasks, choice, strict=True)
    ):
        return float("inf")
    lost = sum(task.worth for task in tasks if on[task.id] is None)
    waits = sum(day for day in choice if day is not None)
    found = []
    for number, day in enumerate(days):
        todo = [task for task in tasks if on[task.id] == number]
        found.append(
            {
                (schedule.hire, schedule.hardest, schedule.trips)
                for order in permutations(todo)
                for one_trip in (True, False)
                if _in_order(order)
                and (schedule := schedule_day(order, day, crew, one_trip=one_trip)) is not None
            }
        )
    best = float("inf")
    for each in product(*found):
        hire, trips = sum(day[0] for day in each), sum(day[2] for day in each)
        if crew.most_hire is None or hire <= crew.most_hire:
            hardest = max((day[1] for day in each), default=0.0)
            best = min(best, plan_cost(lost, hire, waits, hardest, trips))
    return best


def _allowed(task: Task, day: WorkDay, crew: Crew) -> bool:
    barred = day.date in task.barred or task.machine in day.away
    return not barred and (crew.machines or not task.engine)


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
