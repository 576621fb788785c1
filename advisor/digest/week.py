"""The week's digest as plain data: what to do, what to measure, what is coming, and no more."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Protocol

from advisor.amounts.reckon import amounts_for
from advisor.answers.answer import Answer, Measurement, build_answer, of_any_grass, sized
from advisor.answers.law_line import law_line
from advisor.answers.measurements import Worth, rank_measurements
from advisor.answers.mixture import other_grasses, what_others_say
from advisor.answers.weather_line import weather_line
from advisor.answers.words import listed
from advisor.base.dates import say_date
from advisor.cases.case import Case
from advisor.cases.laws import laws_of
from advisor.cases.parts import Ground, Part, candidates, parts_on
from advisor.digest.choose import choose_jobs, last_good_day
from advisor.digest.sky import soil_departure, water_lines
from advisor.rulebook.model import Caution, RuleBook
from advisor.rulebook.order import in_working_order, work_before
from advisor.verdicts.decide import Decision
from advisor.verdicts.kept import KeptRules, once
from advisor.verdicts.share_decisions import SharingDecider

NO_WEATHER = "No weather yet, so no season can be told: put a weather.csv into the site's folder."
WHICH_GRASS_HOW = (
    "Ask 'advisor identify', or take a sample with roots to a garden club or an extension office, "
    "and write its name under 'stand' in site.yaml."
)
MOST_COMING = 3
COMING_DAYS = 56
WEEK_DAYS = 7


@dataclass(frozen=True)
class Question:
    """The one fact to find out, and the operations that wait for it."""

    wanted: Measurement
    for_what: str


@dataclass(frozen=True)
class Week:
    """What a reader gets. Lists are in order of urgency; nothing is cut from them here.

    lead: the one sentence. before: for each operation, those that come before it. measure: the one
    fact that would settle most. water, weather: sentences. soil: its warmth against other years.
    """

    site: str
    first: dt.date
    last: dt.date
    lead: str
    do: tuple[Answer, ...]
    hold: tuple[Answer, ...]
    wait: tuple[Answer, ...]
    coming: tuple[Answer, ...]
    measure: tuple[Answer, ...]
    leave: tuple[Answer, ...]
    missed: tuple[Answer, ...]
    question: Question | None
    water: tuple[str, ...]
    soil: str
    weather: str
    law: str
    before: Mapping[str, Collection[str]]

    @property
    def answers(self) -> tuple[Answer, ...]:
        """All answers of the week."""
        return (
            *self.do, *self.hold, *self.wait, *self.coming, *self.measure, *self.leave, *self.missed
        )  # fmt: skip

    @property
    def safety(self) -> tuple[tuple[str, Caution], ...]:
        """The cautions of everything to do, each once."""
        return tuple({id: (id, caution) for a in self.do for id, caution in a.safety}.values())


class PartsOf(Protocol):
    """How the parts of a lawn on a day are come by; `parts_on`, or one that remembers them."""

    def __call__(self, case: Case, *, unknown_as: str | None = None) -> tuple[Part, ...]: ...


def compose_week(case: Case, parts_of: PartsOf = parts_on) -> Week:
    """The digest for the seven days from `on`."""
    on = case.on
    parts, answers, open_question = all_answers(case, parts_of)
    decider = parts[0].decider
    kept = decider.kept if isinstance(decider, SharingDecider) else None
    of_rules, of_day = (kept.rules.made, kept.made) if kept else (None, None)
    weather, units = decider.day.weather, case.site.unit_system
    by_verdict: dict[str, list[Answer]] = {}
    for answer in answers:
        by_verdict.setdefault(answer.decision.verdict, []).append(answer)
    waiting = sorted(by_verdict.get("wait", []), key=_opens)
    soon = on + dt.timedelta(days=COMING_DAYS)
    near = [a for a in waiting if _opens(a) <= soon and not unasked(a)]
    forbidden = [a for a in near if a.decision.forbidden_ahead]
    near = [a for a in near if not a.decision.forbidden_ahead]
    coming = tuple(sorted(near, key=lambda a: a.decision.judgement.truths["need"] is not True))
    before = once(of_rules, "before", lambda: work_before(case.book))
    rank = once(of_rules, "rank", lambda: _working_rank(case.book))
    do = tuple(sorted(by_verdict.get("do", []), key=lambda a: rank[a.decision.operation.id]))
    hold = tuple(by_verdict.get("hold", []))
    measure = tuple(by_verdict.get("measure", []))
    question = open_question or _question(
        worthwhile(answers, case.book, kept.rules if kept else None),
        frozenset(answer.area for answer in answers),
    )
    return Week(
        site=case.site.name,
        first=on,
        last=on + dt.timedelta(days=WEEK_DAYS - 1),
        lead=_lead(
            do,
            hold,
            coming,
            question if any(not a.decision.operation.routine for a in measure) else None,
            on,
        )
        if weather is not None
        else NO_WEATHER,
        do=do,
        hold=hold,
        wait=tuple(a for a in waiting if _opens(a) > soon or unasked(a)),
        coming=coming,
        measure=measure,
        leave=tuple(by_verdict.get("not_needed", [])),
        missed=tuple(
            [a for v in ("missed", "ruled_out") for a in by_verdict.get(v, [])] + forbidden
        ),
        question=question,
        water=water_lines(case, parts),
        soil=once(
            of_day,
            ("soil", weather and weather.place, units),
            lambda: soil_departure(weather, units),
        ),
        weather=once(of_day, ("weather", on), lambda: weather_line(case)),
        law=once(of_rules, ("law", *_place_of_law(case)), lambda: law_line(case)),
        before=before,
    )


def resized(answers: Iterable[Answer], case: Case, area_m2: float | None) -> tuple[Answer, ...]:
    """The same answers with the amounts for a lawn of one part and another size."""
    ground = Ground((), area_m2)
    return tuple(sized(answer, amounts_for(case, answer.decision, ground)) for answer in answers)


def all_answers(
    case: Case, parts_of: PartsOf = parts_on
) -> tuple[tuple[Part, ...], list[Answer], Question | None]:
    """The answers for every part. Where the grass is not known, only those on which all agree."""
    tried = candidates(case)
    if not tried:
        parts = parts_of(case)
        return parts, [a for part in parts for a in _answers(case, part)], None
    by_grass = [parts_of(case, unknown_as=guess) for guess in tried]
    runs = [[a for part in parts for a in _answers(case, part)] for parts in by_grass]
    same_job: dict[tuple[str, str], list[Answer]] = {}
    for answer in (a for run in runs for a in run):
        same_job.setdefault((answer.decision.operation.id, answer.area), []).append(answer)
    agreed, differing = [], []
    for same in same_job.values():
        # Jobs that only some grasses have can wait until the grass is known.
        if len(same) < len(tried):
            continue
        if len({a.decision.verdict for a in same}) == 1:
            first = min(same, key=lambda a: a.decision.by or dt.date.max)
            agreed.append(of_any_grass(same, first))
        elif same[0].title not in differing:
            differing.append(same[0].title)
    question = None
    if differing:
        names = [case.book.grasses[guess].title for guess in tried]
        wanted = Measurement("grass", "which grass it is", WHICH_GRASS_HOW, ())
        for_what = f"{listed(tuple(t.lower() for t in differing))} ({listed(tuple(names), 'or')})"
        question = Question(wanted, for_what)
    return by_grass[0], agreed, question


def _answers(case: Case, part: Part) -> Iterable[Answer]:
    decider = part.decider
    mixed = bool(other_grasses(case, part))
    for id in decider.operations():
        decision = decider.decide(id)
        # Amounts depend on more facts than a verdict does, so an answer with them is not shared.
        if part.size_m2 is not None or mixed or not isinstance(decider, SharingDecider):
            answer = _answer(case, part, decision)
            if mixed and decision.verdict == "do":
                told = what_others_say(case, part, answer, partial(_decided, case, id))
                answer = replace(
                    answer, mixture=told.against, advice=(*told.besides, *answer.advice)
                )
            yield answer
            continue
        entry = decider.entry(id)
        key = (part.label, _place_of_law(case))
        same = once(entry.made, key, partial(_answer, case, part, entry.decision))
        yield replace(same, decision=decision)


def _decided(case: Case, operation: str, part: Part) -> Answer:
    return _answer(case, part, part.decider.decide(operation))


def _answer(case: Case, part: Part, decision: Decision) -> Answer:
    return build_answer(
        decision, case.book, case.site.unit_system,
        amounts=amounts_for(case, decision, part.ground),
        area=part.label, laws=laws_of(case),
    )  # fmt: skip


def _place_of_law(case: Case) -> tuple[str | None, ...]:
    place = case.site.place
    return place.country, place.subdivision, place.county, place.town


def _working_rank(book: RuleBook) -> dict[str, int]:
    return {id: i for i, id in enumerate(in_working_order(book, book.operations))}


def unasked(answer: Answer) -> bool:
    """Whether it is a matter of its own that nobody has raised on this lawn."""
    decision = answer.decision
    return decision.operation.quiet and decision.judgement.truths["need"] is not True


def _opens(answer: Answer) -> dt.date:
    """When its season opens, also where something forbids the work all through it."""
    opening = answer.window or answer.decision.outlook.whole
    assert opening is not None
    return opening.opens.p50


def worthwhile(
    answers: list[Answer], book: RuleBook, kept: KeptRules | None = None
) -> tuple[Worth, ...]:
    """What to find out, best first, for work that no better season stands in for.

    Matters of their own count only once somebody has raised them.
    """
    raised = (a for a in answers if not unasked(a) and not stood_in_for(a, answers))
    return rank_measurements(raised, book.vocabulary, kept)


def _question(found: tuple[Worth, ...], areas: frozenset[str]) -> Question | None:
    """The best of them, unless only routine depends on it; where, if not on all of the lawn."""
    best = next((worth for worth in found if not worth.routine_only), None)
    if best is None:
        return None
    where = f" in the {listed(best.areas)}" if areas - {*best.areas, ""} else ""
    return Question(best.wanted, best.for_what + where)


def stood_in_for(answer: Answer, answers: Iterable[Answer]) -> bool:
    """Whether a better season for the same end is still to be had, so that this is no loss."""
    return any(
        later.operation == answer.decision.operation.id
        for other in answers
        if other.area == answer.area and other.decision.verdict not in ("missed", "ruled_out")
        for later in other.decision.operation.later
    )


def _lead(
    do: tuple[Answer, ...],
    hold: tuple[Answer, ...],
    coming: tuple[Answer, ...],
    question: Question | None,
    on: dt.date,
) -> str:
    jobs, rest = choose_jobs(do)
    if jobs:
        names = tuple(job[0].title.lower() for job in jobs)
        first = min(jobs, key=last_good_day)
        by = min((a.decision.by for a in first if a.decision.by is not None), default=None)
        if all(job[0].decision.operation.routine for job in jobs):
            return f"Nothing but routine this week: {listed(names)}."
        until = f", by {say_date(by, relative_to=on)}" if by is not None else ""
        if len(names) > 1 and until:
            until = f"; {first[0].title.lower()} is the first to close{until}"
        return f"This week: {listed(names)}{until}."
    if hold:
        return f"{hold[0].title} is in season, but not this week as things stand."
    if question is not None and rest:
        return f"Nothing presses this week; find out one thing: {question.wanted.title}."
    if question is not None:
        return f"Nothing to do until one thing is known: {question.wanted.title}."
    if coming:
        opens = say_date(_opens(coming[0]), relative_to=on)
        nothing = "Nothing presses" if rest else "Nothing to do"
        return f"{nothing} this week; next is {coming[0].title.lower()}, about {opens}."
    return "Nothing presses this week." if rest else "Nothing to do this week."
