"""Whether a plan fetches, returns and pays for its hired machines. Knows nothing of how plans are
made."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from advisor.planning.timetable import Crew, Errand, Plan, Slot, Task, WorkDay


def hire_faults(
    plan: Plan, tasks: Mapping[str, Task], days: Sequence[WorkDay], crew: Crew
) -> Iterator[str]:
    """Every rule of hire that the plan breaks, in words."""
    by_date = {day.date: day for day in days}
    yield from _ways(plan, by_date, crew)
    hire = 0.0
    for date in by_date:
        slots = [slot for slot in plan.slots if slot.date == date]
        errands = [errand for errand in plan.errands if errand.date == date]
        held = {id: at for id, at in by_date[date].held if id in crew.doors}
        used = {**{id: (at, at) for id, at in held.items()}, **_used(crew, slots, tasks)}
        for machine in sorted({id for e in errands for id in e.machines} - used.keys()):
            yield f"{date}: {machine} is fetched or returned and not used"
        for machine, (first, last) in used.items():
            trips = [errand for errand in errands if machine in errand.machines]
            if machine in held:
                yield from _back(date, machine, trips, last)
                first, last = held[machine], trips[-1].at_shop if trips else last
            elif machine in crew.doors:
                yield from _there_and_back(date, machine, trips, first, last)
            if len(trips) == 2:
                first, last = (errand.at_shop for errand in trips)
            length, price = crew.blocks[machine]
            hire += -(-(last - first) // length) * price
    if abs(hire - plan.hire) > 1e-6:
        yield f"hire of {hire:g}, told as {plan.hire:g}"
    if crew.most_hire is not None and hire > crew.most_hire + 1e-6:
        yield f"hire of {hire:g}, over {crew.most_hire:g}"


def _ways(plan: Plan, by_date: Mapping[dt.date, WorkDay], crew: Crew) -> Iterator[str]:
    for errand in plan.errands:
        day = by_date.get(errand.date)
        if day is None or not day.fit:
            yield f"{errand.date}: an errand on a day without work"
        else:
            yield from _errand(errand, day, crew)


def _used(
    crew: Crew, slots: Sequence[Slot], tasks: Mapping[str, Task]
) -> dict[str, tuple[int, int]]:
    """The hired machines of a day, each from when until when."""
    return {id: mine for id in crew.blocks if (mine := _of(id, slots, tasks))}


def _of(machine: str, slots: Sequence[Slot], tasks: Mapping[str, Task]) -> tuple[int, int] | None:
    """From when until when a machine is used."""
    mine = [slot for slot in slots if tasks[slot.task].machine == machine]
    return (min(s.start for s in mine), max(s.end for s in mine)) if mine else None


def _there_and_back(
    date: dt.date, machine: str, trips: Sequence[Errand], first: int, last: int
) -> Iterator[str]:
    """Fetched once before its first use and returned once after its last."""
    if [errand.kind for errand in trips] != ["fetch", "return"]:
        yield f"{date}: {machine} is not fetched once and then returned once"
        return
    if trips[0].end > first:
        yield f"{date}: {machine} is used before it is there"
    if trips[1].start < last:
        yield f"{date}: {machine} is on its way back while it is used"


def _back(date: dt.date, machine: str, trips: Sequence[Errand], last: int) -> Iterator[str]:
    """One that was fetched before goes back once, after its last use."""
    if [errand.kind for errand in trips] != ["return"]:
        yield f"{date}: {machine} is here, and is not returned once"
    elif trips[0].start < last:
        yield f"{date}: {machine} is on its way back while it is used"


def _errand(errand: Errand, day: WorkDay, crew: Crew) -> Iterator[str]:
    name = f"{errand.date}: to {errand.kind} {' and '.join(errand.machines)}"
    doors = [crew.doors[id] for id in errand.machines if id in crew.doors]
    if len(doors) < len(errand.machines) or not doors:
        yield f"{name}: none of the machines that are fetched"
        return
    if errand.kind == "fetch":
        drive = max(door.fetch for door in doors)
        wanted = drive + sum(door.learn for door in doors)
        shop = errand.start + drive / 2
    else:
        drive = max(door.bring_back for door in doors)
        wanted = drive + sum(door.clean + door.load for door in doors)
        shop = errand.end - drive / 2
    if errand.end - errand.start < wanted:
        yield f"{name}: {errand.end - errand.start} min, wanted {wanted:g}"
    if abs(shop - errand.at_shop) > 1:
        yield f"{name}: at the shop in the middle of its drive"
    if day.shop is not None and not any(
        opens <= errand.at_shop <= closes for opens, closes in day.shop
    ):
        yield f"{name}: the shop is shut"
    if any(door.pair for door in doors) and not crew.lifts and errand.people < 2:
        yield f"{name}: loaded by one, who must not lift"
