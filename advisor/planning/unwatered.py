"""Seed that a plan sows, and the days on which nobody is there to water it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from advisor.advice.item import Item
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.planning.timetable import Plan, Task
from advisor.records.kept import SEED_WATER_DAYS, SOWINGS
from advisor.records.limits import Limits


class Unwatered(Record, frozen=True):
    """A sowing, and the first and last day away of the weeks in which it wants water."""

    item: Item
    sown: dt.date
    first: dt.date
    last: dt.date


def unwatered(
    limits: Limits, plan: Plan, tasks: Sequence[Task], items: Sequence[Item]
) -> Iterator[Unwatered]:
    """Each sowing of the plan with each absence in the weeks after it."""
    by_id = {task.id: task for task in tasks}
    sown: dict[tuple[str, str], dt.date] = {}
    for slot in plan.slots:
        task = by_id[slot.task]
        if task.operation in SOWINGS:
            sown.setdefault((task.operation, task.area), slot.date)
    for item in items:
        day = sown.get((item.operation.id, item.part.name))
        if day is None:
            continue
        for first, last in limits.away:
            begins, ends = max(first, day + ONE_DAY), min(last, day + SEED_WATER_DAYS * ONE_DAY)
            if begins <= ends:
                yield Unwatered(item, day, begins, ends)
