"""A work plan in words: what any page of it shows."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.amounts.amount import money, say_time
from advisor.answers.law import law_line
from advisor.answers.record import work_words
from advisor.answers.sources import Line, weather_line
from advisor.answers.words import listed, sentence
from advisor.base.dates import clock, say_date
from advisor.base.record import Record
from advisor.planning.plan_words import GateLine, only_after
from advisor.planning.programme_words import standing_lines, standings_of
from advisor.planning.shopping import Shopping, shopping_for
from advisor.planning.timetable import Errand, Slot, WorkDay, errand_met_hours, hours_of, met_hours
from advisor.planning.workplan import NOT_IN_SEASON, OVER, WorkPlan, find_out
from advisor.records.kept import WHOLE
from advisor.records.work_text import say_done
from advisor.render.digest.leads import DatedLine, dated_lines, titles_of
from advisor.render.sheets.day_ends import day_ends
from advisor.render.sheets.shopping_lines import plan_lines
from advisor.render.sheets.workplan_beside import (
    by_job,
    cheaper,
    if_rain,
    machines,
    parts_said,
    titles_said,
    watering,
)
from advisor.render.sheets.workplan_gates import workplan_gates
from advisor.render.sheets.workplan_limits import cut_lines, errand_says, who_waters

OUT_OF_SEASON = (NOT_IN_SEASON, OVER)
LOADING = "Two people and proper ramps to load it; engine off, and cold, on the way."
HEAVY_SHARE = 0.8
"""From this share of a day's effort on, the plan says that the day is heavy."""


class TaskLine(Record, frozen=True):
    """One line of a day's timetable.

    only_after: the gates of a step that breaks the soil. mind: the cautions that the day has not
    named yet. check: after the first strip. stop: what holds if the work has to stop after it.
    """

    clock: str
    says: str
    only_after: str
    mind: str
    check: str
    stop: str


class DayLines(Record, frozen=True):
    """heading: weekday, date and hours. note: heat, rain, how heavy. ends: what if it rains, or one
    is tired at noon."""

    heading: str
    note: str
    tasks: tuple[TaskLine, ...]
    ends: tuple[str, ...] = ()


class View(Record, frozen=True):
    """Every section as lines; empty ones are not shown. gates come before the days in all forms.
    steps: where the lawn stands in the programmes that the work is a piece of.

    totals: empty where nothing has an hour.
    """

    site: str
    title: str
    lead: str
    gates: tuple[GateLine, ...]
    steps: tuple[Line, ...]
    days: tuple[DayLines, ...]
    before: tuple[str, ...]
    buy: tuple[str, ...]
    machines: tuple[str, ...]
    watering: tuple[str, ...]
    rain: tuple[str, ...]
    cheaper: tuple[str, ...]
    nothing: tuple[str, ...]
    left: tuple[str, ...]
    totals: str
    weather: str
    law: str
    times: str


def view_of(plan: WorkPlan) -> View:
    """The plan in the keeper's words and units."""
    first, last = plan.days[0].date, plan.days[-1].date
    span = f"{first:%A} {say_date(first)}"
    if last != first:
        span += f" to {last:%A} {say_date(last)}"
    return View(
        site=plan.case.site.name,
        title=f"Work plan, {span} {last.year}",
        lead=_lead(plan),
        gates=(*workplan_gates(plan), *who_waters(plan)),
        steps=standing_lines(
            standings_of(plan.advice, plan.items),
            plan.advice,
            frozenset(item.key for item in plan.with_hours),
        ),
        days=tuple(_day(plan, day) for day in plan.days),
        before=tuple(_before(plan)),
        buy=tuple(plan_lines(shopping(plan).amounts)),
        machines=tuple(machines(plan)),
        watering=tuple(watering(plan)),
        rain=tuple(if_rain(plan)),
        cheaper=tuple(cheaper(plan)),
        nothing=tuple(_nothing(plan)),
        left=tuple(_left(plan)),
        totals=_totals(plan),
        weather=weather_line(plan.case),
        law=law_line(plan.case),
        times=_times(plan),
    )


def _lead(plan: WorkPlan) -> str:
    jobs = plan.with_hours
    if not plan.items:
        return "Nothing that is wanted can be done on these days."
    if not jobs:
        return "None of the work fits into these days; see what to do instead below."
    days = [d for d in plan.days if any(s.date == d.date for s in plan.plan.slots)]
    on = listed(tuple(f"{d.date:%A}" for d in days))
    missing = [item for item in plan.items if item not in jobs]
    # One job may have room on one part of the lawn and none on another.
    split = {item.operation.id for item in jobs} & {item.operation.id for item in missing}
    named = parts_said if split else titles_said
    text = sentence(f"{named(jobs)}, on {on}")
    return f"{text} No room for {named(tuple(missing))}." if missing else text


def _day(plan: WorkPlan, day: WorkDay) -> DayLines:
    slots = [s for s in plan.plan.slots if s.date == day.date]
    errands = [e for e in plan.plan.errands if e.date == day.date]
    timed = [(s.start, line) for s, line in zip(slots, _tasks(plan, slots), strict=True)]
    timed += [(errand.start, _errand(plan, errand)) for errand in errands]
    lines = tuple(line for _, line in sorted(timed, key=lambda each: each[0]))
    notes = [day.note] if day.note else []
    if slots:
        effort = sum(met_hours(plan.by_id[s.task], s.people) for s in slots)
        effort += sum(map(errand_met_hours, errands))
        share = effort / (day.most_met_hours * plan.crew.people)
        if share >= HEAVY_SHARE:
            notes.append("a heavy day: eat, drink, and stop when you are tired")
    heading = f"{day.date:%A} {say_date(day.date)}"
    if slots:
        begin, end = hours_of((*slots, *errands))
        heading += f", {clock(begin)} to {clock(end)}"
    else:
        notes.append("no work planned")
    ends = tuple(day_ends(plan, day.date)) if slots else ()
    return DayLines(heading, sentence("; ".join(notes)), lines, ends)


def _errand(plan: WorkPlan, errand: Errand) -> TaskLine:
    """A way to the shop, as a line of the day; it begins no work that could be left half done."""
    heavy = any(plan.work.machines[id].second for id in errand.machines)
    return TaskLine(
        clock=f"{clock(errand.start)}–{clock(errand.end)}",
        says=errand_says(plan, errand),
        only_after="",
        mind=LOADING if heavy else "",
        check="",
        stop="",
    )


def _tasks(plan: WorkPlan, slots: list[Slot]) -> Iterator[TaskLine]:
    """The tasks of a day, each caution beside the first task that it is for."""
    items = {(item.operation.id, item.part.name): item for item in plan.items}
    named: set[str] = set()
    for slot in slots:
        task = plan.by_id[slot.task]
        step = next(s for s in plan.work.steps[task.operation] if s.title == task.title)
        who = f", {slot.people} people" if slot.people > 1 else ""
        machine = f" ({plan.work.machines[task.machine].title})" if task.machine else ""
        area = task.area[0].upper() + task.area[1:]
        item = items[task.operation, task.area]
        maybe = "" if item.sure else ", only if it is needed"
        if wanted := find_out(item):
            maybe += f"; first find out: {wanted}"
        gates = [
            g
            for g in plan.gates
            if step.breaks_soil and (g.operation, g.area or WHOLE) == (task.operation, task.area)
        ]
        safety = plan.case.book.operations[task.operation].safety
        mind = [plan.case.book.cautions[id].short for id in safety if id not in named]
        named |= set(safety)
        yield TaskLine(
            clock=f"{clock(slot.start)}–{clock(slot.end)}",
            says=f"{area}: {task.title}{machine}{who}{maybe}",
            only_after=only_after(gates, plan.on),
            mind=" ".join(mind),
            check=step.check,
            stop=step.stop,
        )


def shopping(plan: WorkPlan) -> Shopping:
    """What to get for the work that has an hour."""
    return shopping_for(plan.advice, plan.with_hours)


def before(plan: WorkPlan) -> tuple[DatedLine, ...]:
    """What to see to beforehand, as data."""
    return dated_lines(plan.advice, plan.with_hours, chosen=plan.days[0].date)


def _before(plan: WorkPlan) -> Iterator[str]:
    """What to see to beforehand, counted back from the first working day."""
    lines = before(plan)
    late = tuple(line.says for line in lines if line.by < plan.on)
    if late:
        yield sentence(f"Late already; now, if it can still be done: {'; '.join(late)}")
    for line in lines:
        if line.by >= plan.on:
            yield f"{titles_of(line)}: {line.text(plan.on)}"


def _nothing(plan: WorkPlan) -> Iterator[str]:
    for items in by_job(plan).values():
        operation = items[0].operation
        if operation.do_nothing:
            yield f"{operation.title}: {sentence(operation.do_nothing)}"


def _left(plan: WorkPlan) -> Iterator[str]:
    yield from cut_lines(plan)
    said: dict[tuple[str, str], list[str]] = {}
    for left in plan.left:
        said.setdefault((left.item.operation.title, left.why), []).append(left.item.part.label)
    for (title, why), parts in said.items():
        if why not in OUT_OF_SEASON:
            where = listed(tuple(filter(None, parts)))
            yield sentence(f"{title}, {where}: {why}" if where else f"{title}: {why}")


def _totals(plan: WorkPlan) -> str:
    if not plan.plan.slots:
        return ""
    minutes = sum(plan.by_id[s.task].minutes for s in plan.plan.slots)
    hire = plan.plan.hire
    text = f"{say_time(minutes)} of work for one person in all"
    if plan.plan.errands:
        away = sum(errand.end - errand.start for errand in plan.plan.errands)
        text += f"; {say_time(away)} to fetch, learn, clean and return machines"
    if hire:
        text += f"; hire of machines {money(hire, plan.case.site.money)}"
    return sentence(text)


def _times(plan: WorkPlan) -> str:
    """What the times rest on, and how the keeper makes them better."""
    text = "Times are for a steady worker, from machine width and walking speed"
    for item in plan.with_hours:
        slots = [s for s in plan.plan.slots if plan.by_id[s.task].operation == item.operation.id]
        mine = [t for t in (plan.by_id[s.task] for s in slots) if t.area == item.part.name]
        words = say_done(work_words(plan.case)[item.operation.id])
        if len(item.part.areas) < 2 and words and plan.case.folder:
            where = f" the {item.part.label}" if item.part.label else ""
            took = f"{words}{where}, took {round(sum(task.minutes for task in mine))} min"
            done = plan.case.command("done", took)
            text += f"; write down what it took, such as '{done}', and the next plan uses that"
            break
    return sentence(text)
