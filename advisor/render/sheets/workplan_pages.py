"""A work plan as text, as a page to print, and for other programs."""

from __future__ import annotations

from typing import Any

from advisor.advice.gates import gate_json
from advisor.answers.to_json import head_json
from advisor.base.dates import clock
from advisor.planning.next_day import NextDay
from advisor.planning.programme_step import standing_json
from advisor.planning.programme_words import standings_of
from advisor.planning.timetable import rest_minutes
from advisor.planning.workplan import WorkPlan, find_out
from advisor.render.digest.leads import dated_json
from advisor.render.digest.render import render
from advisor.render.sheets.amounts_pages import buy_json
from advisor.render.sheets.day_ends import tired_json
from advisor.render.sheets.workplan_limits import cut_json, errand_json, unwatered_json
from advisor.render.sheets.workplan_view import View, before, shopping, view_of

FORMAT = 1
DESK = ("Before", "Not in this plan", "The cheapest adequate plan", "What if you do nothing")
"""Sections that are read at a desk and left out of the printed sheet."""


def workplan_text(plan: WorkPlan) -> str:
    """The plan for the terminal."""
    view = view_of(plan)
    return render("workplan.txt", view=view, sections=_sections(view))


def workplan_html(plan: WorkPlan) -> str:
    """The plan as one page to print and take outside."""
    view = view_of(plan)
    return render("workplan.html", view=view, sections=_sections(view), desk=DESK)


def _sections(view: View) -> tuple[tuple[str, tuple[str, ...]], ...]:
    return (
        ("Before", view.before),
        ("Get", (*view.buy, *view.machines)),
        ("If it rains", view.rain),
        ("Who waters", view.watering),
        ("Not in this plan", view.left),
        ("The cheapest adequate plan", view.cheaper),
        ("What if you do nothing", view.nothing),
    )


def workplan_json(plan: WorkPlan) -> dict[str, Any]:
    """Dates are ISO, times local, money the keeper's own."""
    cautions = plan.case.book.cautions
    view = view_of(plan)
    items = {(item.operation.id, item.part.name): item for item in plan.items}
    return {
        **head_json(plan.advice, FORMAT),
        "gates": [gate_json(g) for g in (*(g for s in plan.shut for g in s.gates), *plan.gates)],
        "programmes": [standing_json(s) for s in standings_of(plan.advice, plan.items)],
        "days": [
            {
                "date": day.date.isoformat(),
                "fit": day.fit,
                "note": day.note,
                "tasks": [
                    {
                        "operation": plan.by_id[slot.task].operation,
                        "area": plan.by_id[slot.task].area,
                        "does": plan.by_id[slot.task].title,
                        "find_out": find_out(
                            items[plan.by_id[slot.task].operation, plan.by_id[slot.task].area]
                        ),
                        "start": clock(slot.start),
                        "end": clock(slot.end),
                        # One person's work, as every view tells it; the rest is in the clock.
                        "minutes": round(plan.by_id[slot.task].minutes),
                        "rest": rest_minutes(plan.by_id[slot.task], slot),
                        "people": slot.people,
                        "needs": [m for m in (plan.by_id[slot.task].machine,) if m],
                        "safety": [
                            cautions[id].text
                            for id in plan.case.book.operations[
                                plan.by_id[slot.task].operation
                            ].safety
                        ],
                    }
                    for slot in plan.plan.slots
                    if slot.date == day.date
                ],
                "tired_at_noon": tired_json(plan, day.date),
                "errands": [errand_json(e) for e in plan.plan.errands if e.date == day.date],
            }
            for day in plan.days
        ],
        "dropped": list(plan.plan.dropped),
        "cuts": [cut_json(cut) for cut in plan.cuts],
        "who_waters": [unwatered_json(each) for each in plan.unwatered],
        "proved": plan.plan.proved,
        "totals": {
            "minutes": round(sum(plan.by_id[s.task].minutes for s in plan.plan.slots)),
            "errands": sum(e.end - e.start for e in plan.plan.errands),
            "hire": plan.plan.hire,
        },
        "buy": [buy_json(plan.case.book, b) for b in shopping(plan).amounts.buys],
        "before": [dated_json(line) for line in before(plan)],
        "next_days": [
            {"operation": id, **next_day_json(day)}
            for id, day in plan.next_days.items()
            if day is not None
        ],
        "shut": [
            {
                "operation": shut.item.operation.id,
                "area": shut.item.part.name,
                "why": shut.why,
                "next_day": shut.then and next_day_json(shut.then),
            }
            for shut in plan.shut
        ],
        "if_rain": list(view.rain),
    }


def next_day_json(day: NextDay) -> dict[str, Any]:
    """For other programs; the chance is a share of the years."""
    return {"date": day.date.isoformat(), "chance": round(day.chance, 3)}
