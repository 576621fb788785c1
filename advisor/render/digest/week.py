"""The week's digest as plain data: what to do, what to measure, what is coming, and no more."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from functools import partial
from typing import Protocol

from advisor.advice.book import Advice
from advisor.amounts.reckon import amounts_for
from advisor.answers.answer import Answer, Measurement, answer_of, of_any_grass, sized
from advisor.answers.law import law_line
from advisor.answers.measurements import Worth, rank_measurements
from advisor.answers.mixture import other_grasses, what_others_say
from advisor.answers.sources import weather_line
from advisor.answers.words import listed
from advisor.base.record import Record, replace
from advisor.cases.case import Case
from advisor.cases.parts import Ground, Part, candidates, parts_on
from advisor.decide.verdicts.decision_cache import KeptRules, SharingDecider, once
from advisor.planning.programme_step import Standing
from advisor.planning.programme_words import near_standings
from advisor.render.digest.lead import Lists, lead_of, opens_on
from advisor.render.digest.leads import soil_departure, water_lines
from advisor.rulebook.model import RuleBook

NO_WEATHER = "No weather yet, so no season can be told: put a weather.csv into the site's folder."
WHICH_GRASS_HOW = (
    "Ask 'advisor identify', or take a sample with roots to a garden club or an extension office, "
    "and write its name under 'stand' in site.yaml."
)
MOST_COMING = 3
COMING_DAYS = 56
WEEK_DAYS = 7


class Question(Record, frozen=True):
    """The one fact to find out, and the operations that wait for it."""

    wanted: Measurement
    for_what: str


class Week(Record, frozen=True):
    """What a reader gets. Lists are in order of urgency; nothing is cut from them here.

    lead: the one sentence. measure: the one fact that would settle most. programmes: those to be
    told of; none while it is not known which grass it is. water, weather: sentences. soil: its
    warmth against other years.
    """

    advice: Advice
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
    programmes: tuple[Standing, ...]
    question: Question | None
    water: tuple[str, ...]
    soil: str
    weather: str
    law: str

    @property
    def answers(self) -> tuple[Answer, ...]:
        """All answers of the week."""
        return (
            *self.do, *self.hold, *self.wait, *self.coming, *self.measure, *self.leave, *self.missed
        )  # fmt: skip


class PartsOf(Protocol):
    """How the parts of a lawn on a day are come by; `parts_on`, or one that remembers them."""

    def __call__(self, case: Case, *, unknown_as: str | None = None) -> tuple[Part, ...]: ...


def compose_week(case: Case, parts_of: PartsOf = parts_on) -> Week:
    """The digest for the seven days from `on`."""
    on = case.on
    advice, answers, open_question = all_answers(case, parts_of)
    parts = advice.parts
    decider = parts[0].decider
    kept = decider.kept if isinstance(decider, SharingDecider) else None
    of_rules, of_day = (kept.rules.made, kept.made) if kept else (None, None)
    weather, units = decider.day.weather, case.site.unit_system
    by_verdict: dict[str, list[Answer]] = {}
    for answer in answers:
        by_verdict.setdefault(answer.decision.verdict, []).append(answer)
    near, far = _parted(sorted(by_verdict.get("wait", []), key=opens_on))
    forbidden = [a for a in near if a.item.barred]
    coming = tuple(sorted((a for a in near if not a.item.barred), key=lambda a: not a.item.sure))
    rank = case.book.working_rank
    do = tuple(
        sorted(by_verdict.get("do", []), key=lambda a: (a.item.order(), rank[a.item.operation.id]))
    )
    hold = tuple(by_verdict.get("hold", []))
    measure = tuple(by_verdict.get("measure", []))
    question = open_question or _question(
        worthwhile(answers, case.book, kept.rules if kept else None),
        frozenset(answer.area for answer in answers),
    )
    programmes = () if candidates(case) else near_standings(advice)
    season = any(not answer.decision.operation.routine for answer in measure)
    pressing = question.wanted.title if question is not None and season else ""
    return Week(
        advice=advice,
        site=case.site.name,
        first=on,
        last=on + dt.timedelta(days=WEEK_DAYS - 1),
        lead=NO_WEATHER
        if weather is None
        else lead_of(Lists(do, hold, coming, measure), programmes, pressing, case.book, on),
        do=do,
        hold=hold,
        wait=tuple(far),
        coming=coming,
        measure=measure,
        leave=tuple(by_verdict.get("not_needed", [])),
        missed=tuple(
            [a for v in ("missed", "ruled_out") for a in by_verdict.get(v, [])] + forbidden
        ),
        programmes=programmes,
        question=question,
        water=water_lines(case, parts),
        soil=once(
            of_day,
            ("soil", weather and weather.place, units),
            lambda: soil_departure(weather, units),
        ),
        weather=once(of_day, ("weather", on), lambda: weather_line(case)),
        law=once(of_rules, ("law", *_place_of_law(case)), lambda: law_line(case)),
    )


def _parted(waiting: Iterable[Answer]) -> tuple[list[Answer], list[Answer]]:
    """What opens within some weeks and concerns this lawn, and the rest."""
    near: list[Answer] = []
    far: list[Answer] = []
    for answer in waiting:
        soon = (opens_on(answer) - answer.decision.on).days <= COMING_DAYS
        (near if soon and answer.item.raised else far).append(answer)
    return near, far


def resized(answers: Iterable[Answer], case: Case, area_m2: float | None) -> tuple[Answer, ...]:
    """The same answers with the amounts for a lawn of one part and another size."""
    if not area_m2:
        # As `Advice.amounts` has it: nothing is told on ground of unknown size.
        return tuple(sized(answer, ()) for answer in answers)
    ground = Ground((), area_m2)
    return tuple(sized(answer, amounts_for(case, answer.decision, ground)) for answer in answers)


def all_answers(
    case: Case, parts_of: PartsOf = parts_on
) -> tuple[Advice, list[Answer], Question | None]:
    """The advice and the answers for every part.

    Where the grass is not known, the advice is that for the first grass tried, and the answers are
    only those on which all agree.
    """
    tried = candidates(case)
    if not tried:
        advice = Advice(case, parts_of(case))
        return advice, list(_answers(advice)), None
    books = [Advice(case, parts_of(case, unknown_as=guess)) for guess in tried]
    same_job: dict[tuple[str, str], list[Answer]] = {}
    for answer in (a for advice in books for a in _answers(advice)):
        same_job.setdefault(answer.item.key, []).append(answer)
    agreed, differing = [], []
    for same in same_job.values():
        # Jobs that only some grasses have can wait until the grass is known.
        if len(same) < len(tried):
            continue
        if len({a.decision.verdict for a in same}) == 1:
            first = min(same, key=lambda a: a.item.order())
            agreed.append(of_any_grass(same, first))
        elif same[0].title not in differing:
            differing.append(same[0].title)
    question = None
    if differing:
        names = [case.book.grasses[guess].title for guess in tried]
        wanted = Measurement("grass", "which grass it is", WHICH_GRASS_HOW, ())
        for_what = f"{listed(tuple(t.lower() for t in differing))} ({listed(tuple(names), 'or')})"
        question = Question(wanted, for_what)
    return books[0], agreed, question


def _answers(advice: Advice) -> Iterable[Answer]:
    for item in advice.items():
        part, decider = item.part, item.part.decider
        mixed = bool(other_grasses(advice.case, part))
        # Amounts depend on more facts than a verdict does, so an answer with them is not shared.
        if part.size_m2 or mixed or not isinstance(decider, SharingDecider):
            answer = answer_of(advice, item)
            if mixed and item.verdict == "do":
                told = what_others_say(
                    advice.case, part, answer, partial(_answered, advice, item.operation.id)
                )
                answer = replace(
                    answer, mixture=told.against, advice=(*told.besides, *answer.advice)
                )
            yield answer
            continue
        entry = decider.entry(item.operation.id)
        key = (part.label, _place_of_law(advice.case), item.date, item.weight, item.spare_for)
        same = once(entry.made, key, partial(answer_of, advice, item))
        yield replace(same, item=item)


def _answered(advice: Advice, operation: str, part: Part) -> Answer:
    return answer_of(advice, advice.by_itself(operation, part))


def _place_of_law(case: Case) -> tuple[str | None, ...]:
    place = case.site.place
    return place.country, place.subdivision, place.county, place.town


def worthwhile(
    answers: list[Answer], book: RuleBook, kept: KeptRules | None = None
) -> tuple[Worth, ...]:
    """What to find out, best first, for work that no better season stands in for.

    Matters of their own count only once somebody has raised them.
    """
    raised = (a for a in answers if a.item.raised and not a.item.spare_for)
    return rank_measurements(raised, book.vocabulary, kept)


def _question(found: tuple[Worth, ...], areas: frozenset[str]) -> Question | None:
    """The best of them, unless only routine depends on it; where, if not on all of the lawn."""
    best = next((worth for worth in found if not worth.routine_only), None)
    if best is None:
        return None
    where = f" in the {listed(best.areas)}" if areas - {*best.areas, ""} else ""
    return Question(best.wanted, best.for_what + where)
