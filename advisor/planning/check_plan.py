"""Whether a plan keeps its own rules. Knows nothing of how plans are made; used by the tests, and
before a plan is shown."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from advisor.planning.timetable import Crew, Plan, Slot, Task, WorkDay


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
        faults += _people(today, crew)
        faults += _machines(today, by_id)
        faults += _effort(today, by_id, day, crew)
    return faults


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
    if slot.date in task.barred:
        yield f"{slot.task}: {slot.date} is barred to it"
    if slot.people > 1 and not task.shared:
        yield f"{slot.task}: shared, but one person's work"
    if not 1 <= slot.people <= crew.people:
        yield f"{slot.task}: {slot.people} people, of {crew.people}"
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


def _people(slots: Sequence[Slot], crew: Crew) -> Iterator[str]:
    for moment in {slot.start for slot in slots}:
        busy = sum(s.people for s in slots if s.start <= moment < s.end)
        if busy > crew.people:
            yield f"{slots[0].date}: {busy} people at work, of {crew.people}"


def _machines(slots: Sequence[Slot], tasks: Mapping[str, Task]) -> Iterator[str]:
    for a, b in combinations(slots, 2):
        machine = tasks[a.task].machine
        if machine and machine == tasks[b.task].machine and _overlap(a, b):
            yield f"{a.date}: {machine} used for {a.task} and {b.task} at once"


def _effort(
    slots: Sequence[Slot], tasks: Mapping[str, Task], day: WorkDay, crew: Crew
) -> Iterator[str]:
    """All people together: no day may ask for more than all of them may give."""
    minutes = sum(tasks[s.task].minutes for s in slots)
    met = sum(tasks[s.task].minutes * tasks[s.task].met / 60 for s in slots)
    if minutes > day.most_minutes * crew.people + 1e-6:
        yield f"{day.date}: {minutes:.0f} min of work"
    if met > day.most_met_hours * crew.people + 1e-6:
        yield f"{day.date}: {met:.1f} MET-hours of work"
