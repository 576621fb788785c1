"""The evening before: whether what is settled for the next day can go ahead, as it looks now."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Literal

from advisor.advice.book import Advice
from advisor.advice.item import Item
from advisor.answers.answer import answer_of
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.base.text import uncapped
from advisor.planning.workplan import NextDay, WorkPlan, compose_workplan
from advisor.records.kept import is_on

Call = Literal["go", "half", "wait"]
NO_ROOM = "there is no room for it that day"


class Waits(Record, frozen=True):
    """A job that was settled for the day and cannot be done then. then: its next free day."""

    item: Item
    why: str
    then: NextDay | None


class Eve(Record, frozen=True):
    """day: the day that was settled. start, end: minutes after midnight; None on a day to wait.

    forecast: whether the record holds weather of that day; else it is judged by past years. note:
    of heat, rain or frost.
    """

    day: dt.date
    call: Call
    doing: tuple[Item, ...]
    waits: tuple[Waits, ...]
    start: int | None
    end: int | None
    note: str
    forecast: bool


def next_settled(advice: Advice) -> dt.date | None:
    """The next day for which work is settled, today aside; also where all of it is shut out."""
    kept = advice.case.plan
    days = (day.date for day in kept.days if day.date > advice.on) if kept else ()
    return min(days, default=None)


def compose_eve(advice: Advice) -> Eve | None:
    """None unless work is settled for tomorrow."""
    kept, day = advice.case.plan, advice.on + ONE_DAY
    if kept is None or next_settled(advice) != day:
        return None
    work = {pair for planned in kept.days if planned.date == day for pair in planned.work}
    steps = advice.case.book.work.steps
    only = sorted({id for id, _ in work if id in steps})
    plan = compose_workplan(advice, day, 1, only=only)
    items = [item for item in advice.items() if _settled(item, work)]
    hours = {item.key for item in plan.with_hours}
    doing = tuple(item for item in items if item.key in hours)
    waits = tuple(_waits(plan, item) for item in items if item.key not in hours)
    slots = plan.plan.slots
    [work_day] = plan.days
    return Eve(
        day=day,
        call="wait" if not doing else "half" if waits else "go",
        doing=doing,
        waits=waits,
        start=min((slot.start for slot in slots), default=None),
        end=max((slot.end for slot in slots), default=None),
        note=work_day.note,
        forecast=_is_forecast(advice, day),
    )


def _settled(item: Item, work: Iterable[tuple[str, str]]) -> bool:
    return any(
        id == item.operation.id and is_on(area, (item.part.name, *item.part.areas))
        for id, area in work
    )


def _waits(plan: WorkPlan, item: Item) -> Waits:
    shut = next((shut for shut in plan.shut if shut.item.key == item.key), None)
    if shut is not None:
        return Waits(item, shut.why, shut.then)
    left = next((left for left in plan.left if left.item.key == item.key), None)
    if left is not None:
        return Waits(item, left.why, None)
    then = plan.next_days.get(item.operation.id)
    [day] = plan.days
    if not day.fit:
        return Waits(item, day.note, then)
    if item not in plan.items:
        said = answer_of(plan.advice, item, amounts=()).headline
        return Waits(item, uncapped(said), then)
    return Waits(item, NO_ROOM, then)


def _is_forecast(advice: Advice, day: dt.date) -> bool:
    facts = advice.parts[0].decider.day.weather
    return facts is not None and facts.axis.knows(facts.axis.index(day))
