"""The events of a calendar: the seasons that matter to this lawn, as all-day spans of dates."""

from __future__ import annotations

import datetime as dt
import uuid
from collections.abc import Iterator
from dataclasses import dataclass

from advisor.answers.words import listed, sentence
from advisor.base.dates import ONE_DAY, say_date
from advisor.cases.parts import Part
from advisor.planning.gate_words import gate_lines
from advisor.planning.gates import Gates, gate_rules, gates_of_work, of_plan
from advisor.planning.plan_lines import day_line
from advisor.rulebook.model import Operation
from advisor.site.kept_plan import KeptPlan
from advisor.verdicts.decide import Decision
from advisor.windows.tracks import Opening
from advisor.yearly.rows import basis_words, span
from advisor.yearly.year import ROUGH_UNDER, Asked

SHOWN = frozenset({"do", "wait", "hold", "measure"})
"""Verdicts whose season stands in the calendar; work that is not needed falls away."""
LONGEST_DAYS = 120
"""A longer season is told on its first day only: nobody keeps a bar of months in a calendar."""
_NAMESPACE = uuid.UUID("6f1c2a52-7f0a-5d52-9d0e-6a1f0b8a4c11")
"""Ours, drawn once; it only has to stay the same."""


@dataclass(frozen=True)
class Event:
    """An all-day event. end: the day after its last one. by: the cautious last good day, of which
    a reminder warns; None where there is none. first: what has to be seen to before the work; it
    stands before the text, and when it changes the calendar says so at once.

    uid depends on the lawn, the work and the season year, never on dates, areas or the run.
    """

    uid: str
    start: dt.date
    end: dt.date
    by: dt.date | None
    summary: str
    text: str
    first: str = ""

    @property
    def description(self) -> str:
        """All that is said of it, what comes first before the rest."""
        return "\n".join(filter(None, (self.first, self.text)))


@dataclass(frozen=True)
class _Season:
    """The season of one part of the lawn that an event tells of."""

    area: str
    decision: Decision
    opening: Opening


def events_of(year: Asked, lawn_name: str = "") -> tuple[Event, ...]:
    """The seasons to come or open, of work that is or may be needed, in order of their start.

    lawn_name: what tells this lawn from others in the uids; the site's name if it is left out.

    Parts of the lawn share an event: it runs from the first opening to the last closing, and its
    cautious last good day is the earliest of theirs.
    """
    shared: dict[tuple[str, str, int], list[_Season]] = {}
    for part in year.parts:
        for season in _of_part(part):
            opening = season.opening
            key = (season.decision.operation.id, opening.window.id, opening.season)
            shared.setdefault(key, []).append(season)
    name = lawn_name or year.case.site.name
    found = [_event(seasons, year, name) for seasons in shared.values()]
    found += _planned(year)
    return tuple(sorted(found, key=lambda event: (event.start, event.uid)))


def _planned(year: Asked) -> Iterator[Event]:
    """The days of work that the keeper has settled on, and the watering of the seed after them.

    Their uid holds the date: unlike a season, a day of work that moves by one is another day.
    """
    case, on, plan = year.case, year.case.on, year.case.plan
    if plan is None:
        return
    gates = Gates(case)
    yield from _to_ask(year, gates, plan)
    for day in plan.days:
        ids = dict.fromkeys(id for id, _ in day.work)
        safety = dict.fromkeys(c for id in ids for c in case.book.operations[id].safety)
        mind = " ".join(case.book.cautions[id].short for id in safety)
        before = [g for id, area in day.work for g in gates_of_work(gates, id, area, day.date)]
        first = "\n".join(f"{x.head}: {x.title}. {x.says}" for x in gate_lines(before, on))
        yield _plan_event(
            year, f"{day.date}", (day.date, day.date + ONE_DAY), "Lawn work",
            f"{day_line(day, gates)}\nMind: {mind}", first,
        )  # fmt: skip
    if plan.sown is not None:
        span = (plan.sown + ONE_DAY, plan.ends + ONE_DAY)
        text = "New seed must not dry out: two or three short waterings a day until it is up."
        yield _plan_event(year, f"seed {plan.sown}", span, "Water the new seed", text)


def _to_ask(year: Asked, gates: Gates, plan: KeptPlan) -> Iterator[Event]:
    """The last day on which notice can be given for the work of a plan that waits for it."""
    waiting = [g for g in of_plan(gates, plan) if g.state == "open" and g.days]
    for id, by in dict.fromkeys((g.rule.id, g.by) for g in waiting):
        found = [g for g in waiting if (g.rule.id, g.by) == (id, by)]
        summary = sentence(f"last day to {found[0].rule.ask.partition(' (')[0]}").rstrip(".")
        text = "\n".join(f"{x.title}. {x.says}" for x in gate_lines(found, year.case.on))
        yield _plan_event(year, f"{id} {by}", (by, by + ONE_DAY), summary, text)


def _plan_event(
    year: Asked, what: str, span: tuple[dt.date, dt.date], summary: str, text: str, first: str = ""
) -> Event:
    name = f"{year.case.site.name}/plan/{what}"
    uid = str(uuid.uuid5(_NAMESPACE, name))
    return Event(uid, span[0], span[1], None, summary, text, first)


def _of_part(part: Part) -> Iterator[_Season]:
    decisions = [part.decider.decide(id) for id in part.decider.operations()]
    # What stands in for better work is told once that is over.
    stand_ins = {
        later.operation
        for decision in decisions
        if decision.verdict not in ("missed", "ruled_out")
        for later in decision.operation.later
    }
    for decision in decisions:
        opening = _season(decision)
        id = decision.operation.id
        if opening is not None and not decision.operation.routine and id not in stand_ins:
            yield _Season(part.label, decision, opening)


def _season(decision: Decision) -> Opening | None:
    """The season that the verdict speaks of, or the next of the same work after a missed one."""
    if decision.verdict in SHOWN:
        return decision.outlook.current
    if decision.verdict == "missed" and decision.judgement.truths["need"] is not False:
        own = (later for later in decision.later if later.operation == decision.operation.id)
        following = next(own, None)
        return following.opening if following else None
    return None


def _event(seasons: list[_Season], year: Asked, lawn_name: str) -> Event:
    operation, window = seasons[0].decision.operation, seasons[0].opening.window
    areas = listed(tuple(season.area for season in seasons if season.area))
    title = operation.title + (f" ({areas})" if len(seasons) < len(year.parts) else "")
    start = min(season.opening.opens.p50 for season in seasons)
    last = max(season.opening.closes.p50 for season in seasons)
    by: dt.date | None = max(min(season.opening.closes.p10 for season in seasons), start)
    if (last - start).days >= LONGEST_DAYS:
        summary, end, by = f"{title}: season begins", start + ONE_DAY, None
    else:
        summary, end = f"{title}: in season", last + ONE_DAY
    name = f"{lawn_name}/{operation.id}/{window.id}/{seasons[0].opening.season}"
    return Event(
        uid=str(uuid.uuid5(_NAMESPACE, name)),
        start=start,
        end=end,
        by=by,
        summary=summary,
        text=_text(seasons, year),
        first="\n".join(_waits_for(operation, year)),
    )


def _text(seasons: list[_Season], year: Asked) -> str:
    """When, how sure, what hurts: complete without the rest of the program."""
    book, on, operation = year.case.book, year.case.on, seasons[0].decision.operation
    said = [f"As of {say_date(on)} {on.year}, {seasons[0].opening.window.title}."]
    by_dates: dict[str, list[str]] = {}
    for season in seasons:
        by_dates.setdefault(_dates(season.opening, year), []).append(season.area)
    for dates, areas in by_dates.items():
        where = listed(tuple(area for area in areas if area))
        said.append(f"{where}: {dates}" if where and len(by_dates) > 1 else dates)
    unknown = {
        book.vocabulary[name].title: None
        for season in seasons
        if season.decision.judgement.truths["need"] is None
        for name in [n for n in season.decision.outcomes if season.decision.values.get(n) is None][
            :1
        ]
    }
    if unknown:
        said.append(f"First find out: {listed(tuple(unknown))}.")
    cautions = [book.cautions[id].short for id in operation.safety]
    if cautions:
        said.append(f"Mind: {' '.join(cautions)}")
    said.append("Labels and local codes stand above this. 'advisor week' says what to do now.")
    return "\n".join(sentence(line) for line in said)


def _waits_for(operation: Operation, year: Asked) -> Iterator[str]:
    """Before anything else: what work that breaks the soil waits for, whatever the day."""
    place = year.case.site.place
    for rule in gate_rules(operation, year.case.book):
        days = rule.days_ahead(place.country, place.subdivision)
        ahead = f" ({days} {'working ' if rule.working_days else ''}days ahead)" if days else ""
        yield f"Only after: {rule.title}. First {rule.asked(place.country)}{ahead}."


def _dates(opening: Opening, year: Asked) -> str:
    opens, closes, years = opening.opens, opening.closes, opening.years
    said = f"opens about {say_date(opens.p50)}, closes about {say_date(closes.p50)}"
    if years > 1:
        said += f". In 8 years of 10 it opens {span(opens)} and closes {span(closes)}"
    if years + opening.never < ROUGH_UNDER:
        said += f". Rough: from {basis_words(year, years)} "
    return said
