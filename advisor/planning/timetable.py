"""What a plan is made of: tasks to do, days to do them on, and the hours given to each task."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from advisor.base.record import Record, field


class Task(Record, frozen=True):
    """One step of one operation on one area.

    minutes: of one person. shared: whether several people may share it. machine: the one that it
    takes, or None. met: effort as a multiple of rest. after: tasks that must have ended. same_day:
    tasks that must be done on the same day. worth: what is lost if it is not done. barred: days on
    which something forbids it. whole_with: tasks without which it is not done, nor they without it,
    beside those of the same day.
    """

    id: str
    operation: str
    area: str
    title: str
    minutes: float
    met: float
    machine: str | None = None
    shared: bool = False
    after: frozenset[str] = frozenset()
    same_day: frozenset[str] = frozenset()
    worth: float = 1.0
    barred: frozenset[dt.date] = frozenset()
    whole_with: frozenset[str] = frozenset()

    @property
    def undivided(self) -> frozenset[str]:
        """The tasks with which it is done or dropped."""
        return self.same_day | self.whole_with


class WorkDay(Record, frozen=True):
    """A day: minutes after midnight between which people work, and how hard.

    rest: minutes of rest in each hour. most_minutes: work of one person. most_met_hours: effort of
    one person. fit: False where the weather forbids outdoor work.
    """

    date: dt.date
    start: int
    end: int
    most_minutes: float
    most_met_hours: float
    rest: float = 5.0
    fit: bool = True
    note: str = ""


class Crew(Record, frozen=True):
    """people: how many. blocks: hired machines with the minutes of one block and its price."""

    people: int
    blocks: Mapping[str, tuple[float, float]] = field(default_factory=dict)


class Slot(Record, frozen=True):
    """A task with its day, clock (minutes after midnight) and people."""

    task: str
    date: dt.date
    start: int
    end: int
    people: int


class Plan(Record, frozen=True):
    """slots: in order of time. dropped: tasks that found no room. cost: see `plan_cost`. hire: what
    the hired blocks cost, in the keeper's own money.

    proved: whether the search ran to its end, so that no cheaper plan of its kind exists.
    """

    slots: tuple[Slot, ...]
    dropped: tuple[str, ...]
    cost: float
    proved: bool
    hire: float = 0.0


STEP_MIN = 5
"""Plans are made in steps of five minutes."""
LOST = 1000.0
"""Cost of losing a task of worth 1: more than all else together."""
LATE = 1.0
"""Cost of each day that a task waits."""
HEAVY = 2.0
COMFORT_MET_HOURS = 10.5
"""Cost of each MET-hour of the hardest day of one person over half of a full day's effort."""


def wall_minutes(task: Task, people: int, rest: float) -> int:
    """Minutes on the clock, with rests, rounded up to the step."""
    net = task.minutes / (people if task.shared else 1)
    stretched = net * 60 / (60 - rest)
    return max(STEP_MIN, -int(-stretched // STEP_MIN) * STEP_MIN)


def rest_minutes(task: Task, slot: Slot) -> int:
    """Minutes of a slot that each person rests."""
    return slot.end - slot.start - round(task.minutes / (slot.people if task.shared else 1))


def met_hours(task: Task, people: int) -> float:
    """Effort of each person on the task."""
    return task.met * task.minutes / (people if task.shared else 1) / 60


def heavy_cost(hardest: float) -> float:
    """Cost of the hardest day, MET-hours of one person."""
    return HEAVY * max(0.0, hardest - COMFORT_MET_HOURS)


def clock(minutes: int) -> str:
    """`09:05`."""
    return f"{minutes // 60:02d}:{minutes % 60:02d}"
