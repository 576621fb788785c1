"""The tasks of one day, one after another or side by side, as early as they can be done."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from advisor.base.record import Record, replace
from advisor.planning.doors import ERRAND_MET, Way, bringing_back, fetching, starts
from advisor.planning.hands import Crowd, Hand, common, gather, latest
from advisor.planning.timetable import (
    Crew,
    Errand,
    Slot,
    Task,
    WorkDay,
    met_hours,
    wall_minutes,
)


class DaySchedule(Record, frozen=True):
    """slots and errands in order of time; hire: cost of the hired blocks; hardest: MET-hours of one
    person; trips: how often machines were fetched."""

    slots: tuple[Slot, ...]
    hire: float
    hardest: float
    errands: tuple[Errand, ...] = ()
    trips: int = 0


def schedule_day(
    tasks: Sequence[Task],
    day: WorkDay,
    crew: Crew,
    *,
    one_trip: bool = True,
    back_first: bool = True,
) -> DaySchedule | None:
    """The tasks in the order given, each as early as people, machine and earlier tasks allow.

    Earlier tasks of other days are taken as done. Hired machines are fetched before the first task
    that takes one of them and brought back after the last, all in one trip or each in its own. A
    machine that is here and that no task takes goes back before them, or after them all. None
    where it does not fit into the day.
    """
    if not day.fit:
        return None if tasks else DaySchedule((), 0.0, 0.0)
    return _Day(tasks, day, crew, one_trip=one_trip, back_first=back_first).made()


@dataclass
class _Trip:
    """The machines of a trip, and the numbers of the first and last task that take one; -1 for
    those that only go back.

    fetches: which of them are not here yet. hands: who fetched them, in the errand of the number
    `fetched`.
    """

    machines: tuple[str, ...]
    first: int
    last: int
    fetches: tuple[str, ...] = ()
    hands: Sequence[Hand] = ()
    fetched: int = 0


@dataclass
class _Day:
    tasks: Sequence[Task]
    day: WorkDay
    crew: Crew
    one_trip: bool
    back_first: bool
    slots: list[Slot] = field(default_factory=list)
    errands: list[Errand] = field(default_factory=list)
    ends: dict[str, int] = field(default_factory=dict)
    machine_free: dict[str, int] = field(default_factory=dict)
    used: dict[str, tuple[int, int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        day = self.day
        self.hands = [Hand(day.spans, day.errand_spans) for _ in range(self.crew.people)]
        whole = ((day.start, day.end),)
        # A helper drives whenever there, and works in the hours in which work is possible.
        self.hands += [Hand(common((span,), whole), (span,)) for span in day.helpers]
        held = dict(self.day.held)
        self.trips = _trips(self.tasks, self.crew, held, one_trip=self.one_trip)
        for id, at_shop in held.items():
            self.machine_free[id], self.used[id] = 0, (at_shop, 0)

    def made(self) -> DaySchedule | None:
        idle = [trip for trip in self.trips if trip.last < 0]
        if self.back_first and not all(map(self._bring_back, idle)):
            return None
        for number, task in enumerate(self.tasks):
            fetched = [trip for trip in self.trips if trip.first == number and trip.fetches]
            if not all(self._fetch(trip) for trip in fetched) or not self._do(task, fetched):
                return None
            ended = [trip for trip in self.trips if trip.last == number]
            if not all(self._bring_back(trip) for trip in ended):
                return None
        if not self.back_first and not all(map(self._bring_back, idle)):
            return None
        most, effort = self.day.most_minutes, self.day.most_met_hours
        if any(hand.minutes > most or hand.met > effort for hand in self.hands):
            return None
        return DaySchedule(
            slots=tuple(sorted(self.slots, key=lambda slot: (slot.start, slot.end))),
            hire=hire_cost(self.used, self.crew.blocks),
            hardest=max(hand.met for hand in self.hands),
            errands=tuple(sorted(self.errands, key=lambda errand: errand.start)),
            trips=len(self.trips),
        )

    def _do(self, task: Task, fetched: Sequence[_Trip]) -> bool:
        after = max(
            max((self.ends[id] for id in task.after if id in self.ends), default=0),
            self.machine_free.get(task.machine or "", 0),
        )
        crowd = self._crowd(task, after)
        if crowd is None:
            return False
        people = len(crowd.hands)
        begin = crowd.start
        end = begin + wall_minutes(task, people, self.day.rest)
        for trip in fetched:
            self._later(trip, begin)
        for hand in crowd.hands:
            hand.free = end
            hand.minutes += task.minutes / people
            hand.met += met_hours(task, people)
        self.ends[task.id] = end
        if task.machine:
            self.machine_free[task.machine] = end
            if task.machine not in self.crew.doors:
                first, _ = self.used.get(task.machine, (begin, end))
                self.used[task.machine] = (first, end)
        self.slots.append(Slot(task.id, self.day.date, begin, end, people))
        return True

    def _crowd(self, task: Task, after: int) -> Crowd | None:
        """Whoever can be done first; where helpers come and go, of equals the most people."""
        within = self.day.engines if task.engine else None
        numbers: Sequence[int] = (1,)
        if task.shared:
            every = len(self.hands)
            numbers = range(every, 0, -1) if self.day.helpers else (every,)
        best: Crowd | None = None
        soonest = 0
        for people in numbers:
            length = wall_minutes(task, people, self.day.rest)
            crowd = gather(self.hands, people, length, after, within=within)
            if crowd is not None and (best is None or crowd.start + length < soonest):
                best, soonest = crowd, crowd.start + length
        return best

    def _fetch(self, trip: _Trip) -> bool:
        way = fetching(self.crew.doors[id] for id in trip.fetches)
        crowd = self._go(way, 0)
        if crowd is None:
            return False
        trip.hands, trip.fetched = crowd.hands, len(self.errands)
        self._write("fetch", trip.fetches, way, crowd)
        for id in trip.fetches:
            self.machine_free[id] = crowd.start + way.minutes
            self.used[id] = (crowd.start + way.at_shop, 0)
        return True

    def _later(self, trip: _Trip, begin: int) -> None:
        """A machine is fetched no sooner than it is wanted: its block of hire runs."""
        errand = self.errands[trip.fetched]
        if any(hand.free != errand.end for hand in trip.hands):
            return
        way = fetching(self.crew.doors[id] for id in trip.fetches)
        spans = trip.hands[0].errands
        for hand in trip.hands[1:]:
            spans = common(spans, hand.errands)
        start = latest(spans, way.minutes, begin, starts(way, self.day.shop))
        if start > errand.start:
            self.errands[trip.fetched] = replace(
                errand, start=start, end=start + way.minutes, at_shop=start + way.at_shop
            )
            for hand in trip.hands:
                hand.free = start + way.minutes
            for id in trip.fetches:
                self.used[id] = (start + way.at_shop, 0)

    def _bring_back(self, trip: _Trip) -> bool:
        way = bringing_back(self.crew.doors[id] for id in trip.machines)
        crowd = self._go(way, max(self.machine_free[id] for id in trip.machines))
        if crowd is None:
            return False
        self._write("return", trip.machines, way, crowd)
        for id in trip.machines:
            self.used[id] = (self.used[id][0], crowd.start + way.at_shop)
        return True

    def _go(self, way: Way, after: int) -> Crowd | None:
        """Two go where a machine needs two to load it; one, if there is no second who lifts."""
        numbers = (2, 1) if way.pair and self.crew.lifts else (2,) if way.pair else (1,)
        may = starts(way, self.day.shop)
        for people in numbers:
            crowd = gather(self.hands, people, way.minutes, after, errand=True, starts=may)
            if crowd is not None:
                for hand in crowd.hands:
                    hand.free = crowd.start + way.minutes
                    hand.minutes += way.minutes
                    hand.met += ERRAND_MET * way.minutes / 60
                return crowd
        return None

    def _write(
        self, kind: Literal["fetch", "return"], machines: tuple[str, ...], way: Way, crowd: Crowd
    ) -> None:
        start, people = crowd.start, len(crowd.hands)
        self.errands.append(
            Errand(
                kind, machines, self.day.date, start, start + way.minutes, people,
                start + way.at_shop,
            )
        )  # fmt: skip


def _trips(
    tasks: Sequence[Task], crew: Crew, held: Mapping[str, int], *, one_trip: bool
) -> list[_Trip]:
    """One trip for all hired machines of the tasks and those that are held, or one for each."""
    numbers: dict[str, list[int]] = {id: [] for id in held if id in crew.doors}
    for number, task in enumerate(tasks):
        if task.machine in crew.doors:
            numbers.setdefault(task.machine or "", []).append(number)

    def trip(machines: Sequence[str]) -> _Trip:
        mine = [number for id in machines for number in numbers[id]]
        away = tuple(id for id in machines if id not in held)
        first = min((number for id in away for number in numbers[id]), default=-1)
        return _Trip(tuple(machines), first, max(mine, default=-1), away)

    if one_trip and numbers:
        return [trip(tuple(numbers))]
    return [trip((id,)) for id in numbers]


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
