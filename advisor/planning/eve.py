"""The evening before: whether what is settled for the next day can go ahead, as it looks now."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Literal

from advisor.advice.book import Advice
from advisor.advice.gates import Gate
from advisor.advice.item import Item
from advisor.amounts.amount import money
from advisor.answers.answer import answer_of
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.base.text import uncapped
from advisor.planning.lawn_tasks import task_id
from advisor.planning.next_day import NextDay
from advisor.planning.timetable import Errand, Slot, hours_of
from advisor.planning.workplan import WorkPlan, compose_workplan
from advisor.records.kept import is_on
from advisor.records.limits import why_barred

Call = Literal["go", "half", "wait"]
NO_ROOM = "there is no room for it that day"


class Waits(Record, frozen=True):
    """A job that was settled for the day and cannot be done then. then: its next free day."""

    item: Item
    why: str
    then: NextDay | None


class Rest(Record, frozen=True):
    """A job of the day of which some steps stand on a later day that is settled."""

    item: Item
    day: dt.date


class Back(Record, frozen=True):
    """A machine hired for the day. until: when on the eve the shop still gives its price back, if
    the keeper wrote it. idle: whether nothing of the day needs it any more."""

    title: str
    price: float
    until: dt.time | None
    idle: bool


class Eve(Record, frozen=True):
    """day: the day that was settled. hours: minutes after midnight, from door to door; None on a
    day to wait. rest: of what is done that day. back: the machines hired for it.

    forecast: whether the record holds weather of that day; else it is judged by past years. note:
    of heat, rain or frost. gates: what is still to be seen to before a step of it.
    """

    day: dt.date
    call: Call
    doing: tuple[Item, ...]
    waits: tuple[Waits, ...]
    hours: tuple[int, int] | None
    note: str
    forecast: bool
    gates: tuple[Gate, ...]
    rest: tuple[Rest, ...]
    back: tuple[Back, ...]


Work = tuple[str, str]
"""An operation and an area."""


def next_settled(advice: Advice) -> dt.date | None:
    """The next day, today aside, with work that is settled and not done yet; also where all of it
    is shut out."""
    return min(_settled(advice), default=None)


def compose_eve(advice: Advice) -> Eve | None:
    """None unless work is settled for tomorrow."""
    day = advice.on + ONE_DAY
    settled, kept = _settled(advice), advice.case.plan
    work = settled.get(day)
    if kept is None or work is None:
        return None
    still = [each for each in work if (day, *each) not in advice.dropped]
    steps = next(each.steps for each in kept.days if each.date == day)
    plan = compose_workplan(advice, day, 1, these=lambda i: is_of(i, still), steps=steps)
    items = [item for item in advice.items() if is_of(item, work)]
    hours = {item.key for item in plan.with_hours}
    doing = tuple(item for item in items if item.key in hours)
    waits = tuple(_waits(plan, item) for item in items if item.key not in hours)
    facts = advice.parts[0].decider.day.weather
    pieces: list[Slot | Errand] = [*plan.plan.slots, *plan.plan.errands]
    [work_day] = plan.days
    return Eve(
        day=day,
        call="wait" if not doing else "half" if waits else "go",
        doing=doing,
        waits=waits,
        hours=hours_of(pieces) if pieces else None,
        note=work_day.note,
        forecast=facts is not None and facts.axis.knows(facts.axis.index(day)),
        gates=tuple(gate for gate in plan.gates if gate.state != "met"),
        rest=tuple(_rest(doing, settled, day)),
        back=tuple(_back(advice, doing, items, steps)),
    )


def _rest(
    doing: Iterable[Item], settled: Mapping[dt.date, Collection[Work]], day: dt.date
) -> Iterator[Rest]:
    """The next day of each job that goes on after this one."""
    for item in doing:
        later = (date for date, work in settled.items() if date > day and is_of(item, work))
        if (date := min(later, default=None)) is not None:
            yield Rest(item, date)


def _back(
    advice: Advice, doing: Iterable[Item], settled: Iterable[Item], steps: Collection[str]
) -> Iterator[Back]:
    """Each machine that is hired for the jobs of a day. steps: those of the day, of spread jobs."""
    work = advice.case.book.work

    def used(items: Iterable[Item]) -> set[str | None]:
        found = set[str | None]()
        for item in items:
            of = {
                task_id(item, step): step.machine for step in work.steps.get(item.operation.id, ())
            }
            found |= {of[id] for id in of.keys() & {*steps} or of}
        return found

    booked, needed = used(settled), used(doing)
    for tool in advice.case.site.tools:
        if tool.have == "hired" and tool.kind in booked:
            title = work.machines[tool.kind].title
            yield Back(title, tool.price or 0.0, tool.cancel_by, tool.kind not in needed)


def _settled(advice: Advice) -> dict[dt.date, list[Work]]:
    """What is settled for each day after today and not done yet."""
    kept, found = advice.case.plan, dict[dt.date, list[Work]]()
    if kept is None:
        return found
    for day in kept.days:
        left = [work for work in day.work if not advice.done_since(*work, kept.made)]
        if day.date > advice.on and left:
            found[day.date] = left
    return found


def is_of(item: Item, work: Collection[Work]) -> bool:
    """Whether a job on a part is among some work."""
    areas = (item.part.name, *item.part.areas)
    return any(id == item.operation.id and is_on(area, areas) for id, area in work)


def _waits(plan: WorkPlan, item: Item) -> Waits:
    shut = next((shut for shut in plan.shut if shut.item.key == item.key), None)
    if shut is not None:
        return Waits(item, shut.why, shut.then)
    left = next((left for left in plan.left if left.item.key == item.key), None)
    if left is not None:
        return Waits(item, left.why, None)
    then = plan.next_days.get(item.operation.id)
    [day] = plan.days
    if why := why_barred(plan.case.limits, day.date):
        return Waits(item, why, then)
    if not day.fit:
        return Waits(item, day.note, then)
    if item not in plan.items:
        said = answer_of(plan.advice, item, amounts=()).headline
        return Waits(item, uncapped(said), then)
    cut = next((cut for cut in plan.cuts if cut.item.key == item.key), None)
    hire = money(plan.crew.most_hire or 0.0, plan.case.site.money)
    return Waits(item, (cut and cut.why(hire)) or NO_ROOM, then)
