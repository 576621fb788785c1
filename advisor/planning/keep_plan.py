"""Settling on a work plan: what of it is kept."""

from __future__ import annotations

from pathlib import Path

from advisor.planning.timetable import hours_of
from advisor.planning.workplan import WorkPlan
from advisor.records.kept import KeptPlan, PlannedDay, write_plan


def keep_plan(plan: WorkPlan, folder: Path) -> Path:
    """Keep the plan in the site's folder. Raises `BadInput` for a plan without work."""
    days = []
    for day in plan.days:
        slots = [s for s in plan.plan.slots if s.date == day.date]
        if slots:
            tasks = [plan.by_id[s.task] for s in slots]
            work = tuple(dict.fromkeys((t.operation, t.area) for t in tasks))
            errands = [e for e in plan.plan.errands if e.date == day.date]
            start, end = hours_of((*slots, *errands))
            days.append(PlannedDay(day.date, start, end, work))
    return write_plan(folder, KeptPlan(plan.on, tuple(days)))
