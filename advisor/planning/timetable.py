"""What a plan is made of: tasks to do, days to do them on, and the hours given to each task."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Literal

from advisor.base.record import Record, field
from advisor.planning.doors import ERRAND_MET, Door
from advisor.planning.hands import STEP_MIN, Spans


class Task(Record, frozen=True):
    """One step of one operation on one area.

    minutes: of one person. shared: whether several people may share it. machine: the one that it
    takes, or None. engine: whether that has one, which is heard. met: effort as a multiple of rest.
    after: tasks that must have ended. same_day: tasks that must be done on the same day. worth:
    what is lost if it is not done. barred: days on which something forbids it. whole_with: tasks
    without which it is not done, nor they without it, beside those of the same day.
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
    engine: bool = False

    @property
    def undivided(self) -> frozenset[str]:
        """The tasks with which it is done or dropped."""
        return self.same_day | self.whole_with


class WorkDay(Record, frozen=True):
    """A day: minutes after midnight between which people work, and how hard.

    rest: minutes of rest in each hour. most_minutes: work of one person. most_met_hours: effort of
    one person. fit: False where the weather forbids outdoor work, or nobody is there.
    parts: the parts of the day in which the crew works; None: all of it. errands: when they may be
    on the way to the shop; None: as they work. engines, shop: when engines may be heard and the
    shop is open; None: at any time. helpers: one more person for each, then. away: machines that
    are not to be had. held: hired machines that were fetched already, each with the minute at which
    one was at the shop for it; they only go back.
    """

    date: dt.date
    start: int
    end: int
    most_minutes: float
    most_met_hours: float
    rest: float = 5.0
    fit: bool = True
    note: str = ""
    parts: Spans | None = None
    errands: Spans | None = None
    engines: Spans | None = None
    shop: Spans | None = None
    helpers: Spans = ()
    away: frozenset[str] = frozenset()
    held: tuple[tuple[str, int], ...] = ()

    @property
    def spans(self) -> Spans:
        """When the crew works."""
        return ((self.start, self.end),) if self.parts is None else self.parts

    @property
    def errand_spans(self) -> Spans:
        """When the crew may be on the way to the shop."""
        return self.spans if self.errands is None else self.errands


class Crew(Record, frozen=True):
    """people: how many. blocks: hired machines with the minutes of one block and its price. doors:
    what each of them takes from door to door; one without is there when it is wanted.

    most_hire: what all of the hire may cost. lifts: False where loading always takes two. machines:
    False where nothing with an engine is used.
    """

    people: int
    blocks: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    doors: Mapping[str, Door] = field(default_factory=dict)
    most_hire: float | None = None
    lifts: bool = True
    machines: bool = True


class Slot(Record, frozen=True):
    """A task with its day, clock (minutes after midnight) and people."""

    task: str
    date: dt.date
    start: int
    end: int
    people: int


class Errand(Record, frozen=True):
    """A way to the shop: fetching machines and learning them, or cleaning, loading and returning
    them. at_shop: when one is there."""

    kind: Literal["fetch", "return"]
    machines: tuple[str, ...]
    date: dt.date
    start: int
    end: int
    people: int
    at_shop: int


class Plan(Record, frozen=True):
    """slots, errands: in order of time. dropped: tasks that found no room. cost: see `plan_cost`.
    hire: what the hired blocks cost, in the keeper's own money.

    proved: whether the search ran to its end, so that no cheaper plan of its kind exists.
    """

    slots: tuple[Slot, ...]
    dropped: tuple[str, ...]
    cost: float
    proved: bool
    hire: float = 0.0
    errands: tuple[Errand, ...] = ()


LOST = 1000.0
"""Cost of losing a task of worth 1: more than all else together."""
LATE = 1.0
"""Cost of each day that a task waits."""
TRIP = 20.0
"""Cost of each machine trip, there and back twice: hours and a car (chosen)."""
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


def errand_met_hours(errand: Errand) -> float:
    """Effort of all who are on it."""
    return ERRAND_MET * (errand.end - errand.start) * errand.people / 60


def hours_of(pieces: Iterable[Slot | Errand]) -> tuple[int, int]:
    """From the first to the last minute, door to door."""
    each = tuple(pieces)
    return min(piece.start for piece in each), max(piece.end for piece in each)


def plan_cost(lost: float, hire: float, waits: int, hardest: float, trips: int = 0) -> float:
    """What a plan makes small. waits: days that the tasks wait, added up. hardest: MET-hours."""
    return LOST * lost + hire + TRIP * trips + LATE * waits + heavy_cost(hardest)


def heavy_cost(hardest: float) -> float:
    """Cost of the hardest day, MET-hours of one person."""
    return HEAVY * max(0.0, hardest - COMFORT_MET_HOURS)
