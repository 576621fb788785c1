"""The work that is settled for today, with the hours that it had before it was begun."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from advisor.advice.book import Advice, OfAdvice
from advisor.advice.item import Item
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record, replace
from advisor.cases.case import NOTHING_KEPT
from advisor.planning.eve import is_of
from advisor.planning.keep_plan import planned_day
from advisor.planning.make_plan import make_plan
from advisor.planning.timetable import Crew, Errand, Plan, Task, WorkDay
from advisor.planning.work_days import work_days
from advisor.planning.workplan import MOST_DAYS, WorkPlan, compose_workplan
from advisor.records.journal import Journal
from advisor.records.kept import KeptPlan, PlannedDay


class Piece(Record, frozen=True):
    """A step of a job or a way to the shop. start, end: minutes after midnight, as planned."""

    id: str
    start: int
    end: int
    task: Task | None = None
    errand: Errand | None = None


@dataclass(frozen=True)
class OnDay(OfAdvice):
    """advice: of today. day: its hours as they are known now; its note tells of heat, frost or
    rain. pieces: in order of time. items: by job and area.

    as_kept: whether the hours are those that were kept; else they were made anew, with what was
    known this morning.
    """

    advice: Advice
    kept: KeptPlan
    day: WorkDay
    crew: Crew
    items: dict[tuple[str, str], Item]
    pieces: tuple[Piece, ...]
    as_kept: bool


def settled_today(advice: Advice) -> OnDay | None:
    """None unless the keeper has settled on work for today."""
    kept = advice.case.plan
    today = next((d for d in kept.days if d.date == advice.on), None) if kept else None
    if kept is None or today is None:
        return None
    made = _as_made(advice, kept, today)
    plan = made or _this_morning(advice, today)
    site, weather = advice.case.site, advice.parts[0].decider.day.weather
    [day] = work_days(site, [advice.on], weather, limits=advice.case.limits)
    found = plan.plan
    # Whoever asks is at work, whatever the sky says.
    if not day.fit and made is None:
        found = make_plan(plan.tasks, [replace(day, fit=True)], plan.crew)
    return OnDay(
        advice=advice,
        kept=kept,
        day=replace(day, fit=True),
        crew=plan.crew,
        items={(item.operation.id, item.part.name): item for item in plan.items},
        pieces=pieces_of(found, plan.by_id, advice.on),
        as_kept=made is not None,
    )


def pieces_of(plan: Plan, by_id: dict[str, Task], date: dt.date) -> tuple[Piece, ...]:
    """What a plan has for one day, in order of time."""
    found = [
        Piece(slot.task, slot.start, slot.end, task=by_id[slot.task])
        for slot in plan.slots
        if slot.date == date
    ]
    found += [
        Piece(errand_id(errand), errand.start, errand.end, errand=errand)
        for errand in plan.errands
        if errand.date == date
    ]
    return tuple(sorted(found, key=lambda piece: (piece.start, piece.end)))


def errand_id(errand: Errand) -> str:
    """`fetch/core_aerator`."""
    return f"{errand.kind}/{'+'.join(errand.machines)}"


def _as_made(advice: Advice, kept: KeptPlan, today: PlannedDay) -> WorkPlan | None:
    """The plan made again as of the day on which it was kept; None where today comes out in
    another way, since what is known of that day has changed."""
    span = (kept.last - kept.first).days + 1
    if kept.made > kept.first or span > MOST_DAYS:
        return None
    dates = {kept.first + ahead * ONE_DAY for ahead in range(span)}
    then = Advice(replace(advice.case, on=kept.made, kept=NOTHING_KEPT))
    work = {each for day in kept.days for each in day.work}
    plan = compose_workplan(
        then,
        kept.first,
        span,
        rain=dates - {day.date for day in kept.days},
        these=lambda item: is_of(item, work),
    )
    return plan if planned_day(plan, advice.on) == today else None


def _this_morning(advice: Advice, today: PlannedDay) -> WorkPlan:
    """Today planned anew with all that is known but the work of today itself."""
    case = advice.case
    before = (e for e in case.journal.entries if not (e.kind == "work" and e.date == advice.on))
    morning = Advice(replace(case, journal=Journal(tuple(before))))
    return compose_workplan(
        morning, advice.on, 1, these=lambda item: is_of(item, today.work), steps=today.steps
    )
