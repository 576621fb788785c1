"""Settling on a work plan: what of it is kept."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

from advisor.planning.timetable import hours_of
from advisor.planning.workplan import WorkPlan
from advisor.records.kept import KeptPlan, PlannedDay, write_plan


def keep_plan(plan: WorkPlan, folder: Path) -> Path:
    """Keep the plan in the site's folder. Raises `BadInput` for a plan without work."""
    days = (planned_day(plan, day.date) for day in plan.days)
    return write_plan(folder, KeptPlan(plan.on, tuple(day for day in days if day is not None)))


def planned_day(plan: WorkPlan, date: dt.date) -> PlannedDay | None:
    """What is kept of one day; None where it has no work."""
    slots = [s for s in plan.plan.slots if s.date == date]
    if not slots:
        return None
    tasks = [plan.by_id[s.task] for s in slots]
    work = tuple(dict.fromkeys((t.operation, t.area) for t in tasks))
    errands = [e for e in plan.plan.errands if e.date == date]
    start, end = hours_of((*slots, *errands))
    elsewhere = {plan.by_id[s.task] for s in plan.plan.slots if s.date != date}
    spread = {(t.operation, t.area) for t in elsewhere}
    steps = tuple(t.id for t in tasks if (t.operation, t.area) in spread)
    return PlannedDay(date, start, end, work, steps)
