"""Whether a plan keeps its own rules. Knows nothing of how plans are made; used by the tests, and
before a plan is shown."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from advisor.planning.check_hire import hire_faults
from advisor.planning.doors import ERRAND_MET
from advisor.planning.hands import Spans
from advisor.planning.timetable import Crew, Errand, Plan, Slot, Task, WorkDay


def plan_faults(
    plan: Plan, tasks: Sequence[Task], days: Sequence[WorkDay], crew: Crew
) -> list[str]:
    """Every rule that the plan breaks, in words; empty if it breaks none."""
    by_id = {task.id: task for task in tasks}
    by_date = {day.date: day for day in days}
    slots = {slot.task: slot for slot in plan.slots}
    faults = [*_whole(plan, by_id)]
    if faults:
        return faults
    for slot in plan.slots:
        day = by_date.get(slot.date)
        if day is None:
            faults.append(f"{slot.task}: {slot.date} is none of the days")
        else:
            faults += _one(slot, by_id[slot.task], day, crew)
    faults += _together(slots, by_id)
    faults += [
        f"{id}: dropped, but {other} is done"
        for id in plan.dropped
        for other in sorted(by_id[id].undivided & slots.keys())
    ]
    for day in days:
        today = [s for s in plan.slots if s.date == day.date]
        errands = [e for e in plan.errands if e.date == day.date]
        faults += _people(today, errands, day, crew)
        faults += _machines(today, by_id)
        faults += _effort(today, errands, by_id, day, crew)
    return [*faults, *hire_faults(plan, by_id, days, crew)]


def _whole(plan: Plan, tasks: Mapping[str, Task]) -> Iterator[str]:
    done = [slot.task for slot in plan.slots]
    for id in tasks:
        count = done.count(id) + plan.dropped.count(id)
        if count != 1:
            yield f"{id}: planned or dropped {count} times"
    for id in {*done, *plan.dropped} - tasks.keys():
        yield f"{id}: no such task"


def _one(slot: Slot, task: Task, day: WorkDay, crew: Crew) -> Iterator[str]:
    if not day.fit:
        yield f"{slot.task}: {slot.date} is not fit for work"
    if slot.start < day.start or slot.end > day.end:
        yield f"{slot.task}: outside the hours of {slot.date}"
    if task.engine and day.engines is not None and not _inside(slot, day.engines):
        yield f"{slot.task}: an engine outside its hours on {slot.date}"
    if task.engine and not crew.machines:
        yield f"{slot.task}: an engine, where work is by hand"
    if task.machine in day.away:
        yield f"{slot.task}: {task.machine} is not to be had on {slot.date}"
    if slot.date in task.barred:
        yield f"{slot.task}: {slot.date} is barred to it"
    if slot.people > 1 and not task.shared:
        yield f"{slot.task}: shared, but one person's work"
    if not 1 <= slot.people <= crew.people + len(day.helpers):
        yield f"{slot.task}: {slot.people} people, of {crew.people + len(day.helpers)}"
    work = (slot.end - slot.start) * (1 - day.rest / 60) * slot.people
    if work < task.minutes - 1e-6:
        yield f"{slot.task}: {work:.1f} min of work for {task.minutes:.1f}"


def _together(slots: Mapping[str, Slot], tasks: Mapping[str, Task]) -> Iterator[str]:
    def begin(slot: Slot) -> dt.datetime:
        return _moment(slot.date, slot.start)

    for id, slot in slots.items():
        for before in tasks[id].after:
            if before in slots and _moment(slots[before].date, slots[before].end) > begin(slot):
                yield f"{id}: begins before {before} has ended"
        for other in tasks[id].same_day:
            if other not in slots or slots[other].date != slot.date:
                yield f"{id}: not on the same day as {other}"
        for other in tasks[id].whole_with - slots.keys():
            yield f"{id}: done, but {other} is dropped"


def _moment(date: dt.date, minute: int) -> dt.datetime:
    return dt.datetime.combine(date, dt.time()) + dt.timedelta(minutes=minute)


def _overlap(a: Slot, b: Slot) -> bool:
    return a.start < b.end and b.start < a.end


def _inside(slot: Slot | Errand, spans: Spans) -> bool:
    return any(start <= slot.start and slot.end <= end for start, end in spans)


def _people(
    slots: Sequence[Slot], errands: Sequence[Errand], day: WorkDay, crew: Crew
) -> Iterator[str]:
    """At each moment enough people; and for each piece the same people from end to end."""
    pieces: list[Slot | Errand] = sorted([*slots, *errands], key=lambda piece: piece.start)
    most = crew.people + len(day.helpers)
    for moment in {piece.start for piece in pieces}:
        busy = sum(p.people for p in pieces if p.start <= moment < p.end)
        if busy > most:
            yield f"{day.date}: {busy} people at work, of {most}"
            return
    crowd = [(day.spans, day.errand_spans)] * crew.people
    crowd += [(((helper),), ((helper),)) for helper in day.helpers]
    if not _can_be_shared_out(pieces, crowd, {}):
        yield f"{day.date}: somebody works while not there"


def _can_be_shared_out(
    pieces: Sequence[Slot | Errand], crowd: Sequence[tuple[Spans, Spans]], free: Mapping[int, int]
) -> bool:
    """Whether the pieces, in order of time, can be given to people who are there and free."""
    if not pieces:
        return True
    piece, *later = pieces
    able = [
        number
        for number, (work, drive) in enumerate(crowd)
        if free.get(number, 0) <= piece.start
        and _inside(piece, work if isinstance(piece, Slot) else drive)
    ]
    tried = set()
    for chosen in combinations(able, piece.people):
        kinds = tuple(sorted((crowd[number], free.get(number, 0)) for number in chosen))
        if kinds in tried:
            continue
        tried.add(kinds)
        if _can_be_shared_out(later, crowd, {**free, **dict.fromkeys(chosen, piece.end)}):
            return True
    return False


def _machines(slots: Sequence[Slot], tasks: Mapping[str, Task]) -> Iterator[str]:
    for a, b in combinations(slots, 2):
        machine = tasks[a.task].machine
        if machine and machine == tasks[b.task].machine and _overlap(a, b):
            yield f"{a.date}: {machine} used for {a.task} and {b.task} at once"


def _effort(
    slots: Sequence[Slot],
    errands: Sequence[Errand],
    tasks: Mapping[str, Task],
    day: WorkDay,
    crew: Crew,
) -> Iterator[str]:
    """All people together: no day may ask for more than all of them may give."""
    people = crew.people + len(day.helpers)
    away = sum((e.end - e.start) * e.people for e in errands)
    minutes = sum(tasks[s.task].minutes for s in slots) + away
    met = sum(tasks[s.task].minutes * tasks[s.task].met / 60 for s in slots)
    met += away * ERRAND_MET / 60
    if minutes > day.most_minutes * people + 1e-6:
        yield f"{day.date}: {minutes:.0f} min of work"
    if met > day.most_met_hours * people + 1e-6:
        yield f"{day.date}: {met:.1f} MET-hours of work"
