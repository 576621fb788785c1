"""The days of work that the keeper has settled on, as events of a calendar."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.advice.book import Advice
from advisor.advice.gates import gates_of_work, of_plan
from advisor.answers.words import sentence
from advisor.base.dates import ONE_DAY
from advisor.planning.plan_words import day_line, gate_lines
from advisor.records.kept import KeptPlan
from advisor.render.yearly.calendar_events import Event, season_events, uid_of


def events_of(advice: Advice, lawn_name: str = "") -> tuple[Event, ...]:
    """Everything that the calendar of a lawn holds, in order of its start.

    lawn_name: what tells this lawn from others in the uids; the site's name if it is left out.
    """
    name = lawn_name or advice.case.site.name
    found = [*season_events(advice, name)]
    if advice.plan is not None:
        found += _planned(advice, advice.plan)
    return tuple(sorted(found, key=lambda event: (event.start, event.uid)))


def _planned(advice: Advice, plan: KeptPlan) -> Iterator[Event]:
    """The hours of work, what to ask for before them, and the watering of the seed after them.

    Their uid holds the date: unlike a season, a day of work that moves by one is another day.
    """
    case, gates = advice.case, advice.gates
    yield from _to_ask(advice, plan)
    for day in plan.days:
        ids = dict.fromkeys(id for id, _ in day.work if id in case.book.operations)
        safety = dict.fromkeys(c for id in ids for c in case.book.operations[id].safety)
        mind = " ".join(case.book.cautions[id].short for id in safety)
        before = [g for work in day.work for g in gates_of_work(gates, plan, day.date, *work)]
        first = "\n".join(f"{x.head}: {x.title}. {x.says}" for x in gate_lines(before, case))
        yield Event(
            uid=_uid(advice, f"{day.date}"),
            start=day.date,
            end=day.date + ONE_DAY,
            by=day.date,
            summary="Lawn work",
            text=f"{day_line(day, plan, gates)}\nMind: {mind}",
            first=first,
            clock=(day.start, day.end),
            zone=case.site.place.time_zone or "",
            ahead=1,
        )
    if plan.sown is not None:
        yield Event(
            uid=_uid(advice, f"seed {plan.sown}"),
            start=plan.sown + ONE_DAY,
            end=plan.ends + ONE_DAY,
            by=None,
            summary="Water the new seed",
            text="New seed must not dry out: two or three short waterings a day until it is up.",
        )


def _to_ask(advice: Advice, plan: KeptPlan) -> Iterator[Event]:
    """The last day on which notice can be given for the work of a plan that waits for it."""
    waiting = [g for g in of_plan(advice.gates, plan) if g.state == "open" and g.days]
    for id, by in dict.fromkeys((g.rule.id, g.by) for g in waiting):
        found = [g for g in waiting if (g.rule.id, g.by) == (id, by)]
        summary = sentence(f"last day to {found[0].rule.ask.partition(' (')[0]}").rstrip(".")
        text = "\n".join(f"{x.title}. {x.says}" for x in gate_lines(found, advice.case))
        yield Event(_uid(advice, f"{id} {by}"), by, by + ONE_DAY, by, summary, text, ahead=1)


def _uid(advice: Advice, what: str) -> str:
    return uid_of(f"{advice.case.site.name}/plan/{what}")
