"""A plan without one of its days: what of that day's work finds room on the others."""

from __future__ import annotations

import datetime as dt

from advisor.base.record import Record, replace
from advisor.planning.make_plan import make_plan
from advisor.planning.workplan import WorkPlan

Job = tuple[str, str]
"""An operation and an area."""


class RainDay(Record, frozen=True):
    """moves: the jobs of the day that find room on other days of the plan, with the day on which
    they are done. lost: jobs of the plan that find none then, those of other days among them."""

    moves: tuple[tuple[dt.date, tuple[Job, ...]], ...]
    lost: tuple[Job, ...]


def without_day(plan: WorkPlan, date: dt.date) -> RainDay | None:
    """The plan made again as if one day were wet; None where no other of its days is fit."""
    days = [replace(day, fit=False) if day.date == date else day for day in plan.days]
    if not any(day.fit for day in days):
        return None
    made = make_plan(plan.tasks, days, plan.crew)
    by_id = plan.by_id
    jobs = {task: (by_id[task].operation, by_id[task].area) for task in by_id}
    of_day = {jobs[slot.task] for slot in plan.plan.slots if slot.date == date}
    lost = {jobs[id] for id in made.dropped} - {jobs[id] for id in plan.plan.dropped}
    ends = {jobs[slot.task]: slot.date for slot in made.slots}
    moves: dict[dt.date, list[Job]] = {}
    for job in dict.fromkeys(jobs.values()):
        if job in of_day and job not in lost and job in ends:
            moves.setdefault(ends[job], []).append(job)
    return RainDay(
        moves=tuple((day, tuple(found)) for day, found in sorted(moves.items())),
        lost=tuple(job for job in dict.fromkeys(jobs.values()) if job in lost),
    )
