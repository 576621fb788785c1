"""Which task on which day: an exact search, with the cheapest plan so far as its bound."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from advisor.planning.best_day import best_day
from advisor.planning.day_schedule import DaySchedule
from advisor.planning.timetable import Crew, Plan, Task, WorkDay, plan_cost

MOST_NODES = 6_000
"""A search that takes longer gives its best plan and says that it is not proved."""


def make_plan(tasks: Sequence[Task], days: Sequence[WorkDay], crew: Crew) -> Plan:
    """The cheapest plan: first that little is lost, then cheap hire, early days, no heavy day.

    tasks: in working order, each after those it names under `after`. A task whose forerunner is
    dropped may still be done; those of one job are done all or not at all.
    """
    search = _Search(tuple(tasks), tuple(days), crew)
    search.run(0, [], 0.0)
    assert search.best is not None
    days_made = search.days_made()
    return Plan(
        slots=tuple(slot for day in days_made for slot in day.slots),
        dropped=search.dropped(),
        cost=search.cost,
        proved=search.nodes < MOST_NODES,
        hire=sum(day.hire for day in days_made),
        errands=tuple(errand for day in days_made for errand in day.errands),
    )


def may_be_done(task: Task, day: WorkDay, crew: Crew) -> bool:
    """Whether a day allows the task at all, whatever else is done on it."""
    if not day.fit or day.date in task.barred or task.machine in day.away:
        return False
    return crew.machines or not task.engine


@dataclass
class _Search:
    tasks: tuple[Task, ...]
    days: tuple[WorkDay, ...]
    crew: Crew
    best: list[int | None] | None = None
    cost: float = float("inf")
    nodes: int = 0
    _memo: dict[tuple[int, tuple[int, ...]], DaySchedule | None] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self._index = {task.id: i for i, task in enumerate(self.tasks)}
        self._open = [
            [n for n, day in enumerate(self.days) if may_be_done(task, day, self.crew)]
            for task in self.tasks
        ]

    def run(self, i: int, chosen: list[int | None], lost: float) -> None:
        """Try each day for task i, soonest first, and then to do without it."""
        self.nodes += 1
        if self.nodes >= MOST_NODES and self.best is not None:
            return
        bound = self._cost(chosen, lost)
        if bound is None or bound >= self.cost - 1e-9:
            return
        if i == len(self.tasks):
            self.best, self.cost = list(chosen), bound
            return
        for day in self._days_for(i, chosen):
            chosen.append(day)
            self.run(i + 1, chosen, lost)
            chosen.pop()
        if any(chosen[self._index[id]] is not None for id in self.tasks[i].undivided):
            return
        chosen.append(None)
        self.run(i + 1, chosen, lost + self.tasks[i].worth)
        chosen.pop()

    def _days_for(self, i: int, chosen: list[int | None]) -> list[int]:
        task = self.tasks[i]
        first, last = 0, len(self.days) - 1
        for id in task.after:
            before = chosen[self._index[id]]
            first = max(first, before or 0)
        for id in task.undivided:
            j = self._index[id]
            if j < i:
                together = chosen[j]
                if together is None:
                    return []
                if id in task.same_day:
                    first, last = max(first, together), min(last, together)
        return [day for day in self._open[i] if first <= day <= last]

    def _cost(self, chosen: list[int | None], lost: float) -> float | None:
        """What the tasks placed so far cost; None if a day cannot hold its own."""
        hire = hardest = 0.0
        waits = trips = 0
        for day in {d for d in chosen if d is not None}:
            found = self._day(day, tuple(i for i, d in enumerate(chosen) if d == day))
            if found is None:
                return None
            hire += found.hire
            hardest = max(hardest, found.hardest)
            waits += day * len(found.slots)
            trips += found.trips
        if self.crew.most_hire is not None and hire > self.crew.most_hire + 1e-9:
            return None
        return plan_cost(lost, hire, waits, hardest, trips)

    def _day(self, day: int, tasks: tuple[int, ...]) -> DaySchedule | None:
        key = (day, tasks)
        if key not in self._memo:
            todo = [self.tasks[i] for i in tasks]
            self._memo[key] = best_day(todo, self.days[day], self.crew)
        return self._memo[key]

    def days_made(self) -> list[DaySchedule]:
        """The days of the best plan, in order."""
        assert self.best is not None
        found = []
        for day in range(len(self.days)):
            made = self._day(day, tuple(i for i, d in enumerate(self.best) if d == day))
            assert made is not None
            found.append(made)
        return found

    def dropped(self) -> tuple[str, ...]:
        assert self.best is not None
        return tuple(self.tasks[i].id for i, d in enumerate(self.best) if d is None)
