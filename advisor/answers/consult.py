"""From a question in a keeper's words to the answers for each part of the lawn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from advisor.advice.book import Advice
from advisor.answers.answer import Answer, answer_of, of_any_grass
from advisor.answers.law import law_line
from advisor.answers.mixture import both_suit, other_grasses, what_others_say
from advisor.answers.question_intent import Intent
from advisor.answers.sources import weather_line
from advisor.answers.understand import understand
from advisor.answers.understood import NotUnderstood, Understood
from advisor.answers.words import listed
from advisor.base.dates import say_date
from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.base.record import Record, replace
from advisor.cases.case import Case
from advisor.cases.parts import Part, as_grass, candidates, parts_on

SPECIES = "species_choice"

WHICH_GRASS = (
    "You have not said which grass it is, so each that would change the answer is answered for. "
    "'advisor identify' asks what tells them apart."
)


class Consultation(Record, frozen=True):
    """The answers, the largest part of the lawn first, and a line on the weather behind
    them and one (law) on the rules of the place.

    notes: how the question was read, where that is not plain. intent: what was asked of the
    operation; `week` for a question about the whole week, which has no answers of its own. day:
    the day answered for.
    """

    advice: Advice
    answers: tuple[Answer, ...]
    weather: str
    intent: Intent
    day: dt.date
    notes: tuple[str, ...] = ()
    law: str = ""


def consult(case: Case, question: str, *, area: str = "", grass: str = "") -> Consultation:
    """Answer a question. Raises `BadInput` for one that cannot be placed, with what can be."""
    grasses = {id: (g.title, *g.also) for id, g in case.book.grasses.items()}
    latitude = case.site.place.latitude
    on = case.on
    understood = understand(question, case.book.asked_as, on, latitude=latitude, grasses=grasses)
    if isinstance(understood, NotUnderstood):
        raise BadInput.at(Place("the question"), understood.says)
    day = _day(understood, on)
    case = replace(case, on=day)
    advice = Advice(case)
    if understood.operation is None:
        return Consultation(advice, (), weather_line(case), "week", day, law=law_line(case))
    asked = understood.operation
    _check_name(area, case.site.area_names, "area")
    _check_name(grass, frozenset(case.book.grasses), "grass")
    named = understood.grasses[0] if len(understood.grasses) == 1 else ""
    tried = () if grass or named else candidates(case)
    found = [
        _heard(advice, part, asked, question)
        if not (grass or named or guess)
        else _answer(advice, part, asked, question)
        for guess in tried or (None,)
        for part in parts_on(case, grass or named or None, unknown_as=guess)
        if not area or not part.areas or area in part.areas
    ]
    return Consultation(
        advice=advice,
        answers=tuple(_distinct(found)),
        weather=weather_line(case),
        intent=understood.intent,
        day=day,
        law=law_line(case),
        notes=(*_notes(case, understood, day, on), *([WHICH_GRASS] if tried else [])),
    )


def _distinct(answers: list[Answer]) -> list[Answer]:
    """One answer for each area and headline: grasses that agree are told once."""
    same: dict[tuple[str, str], list[Answer]] = {}
    for answer in answers:
        same.setdefault((answer.area, answer.headline), []).append(answer)
    return [of_any_grass(group, group[0]) for group in same.values()]


def _notes(case: Case, understood: Understood, day: dt.date, on: dt.date) -> Iterator[str]:
    for written, meant in understood.read_as:
        yield f"Read '{written}' as '{meant}'."
    if day != on:
        yield f"Answered for {say_date(day, relative_to=on)}, with what is known today."
    if understood.also:
        titles = (case.book.operations[id].title.lower() for id in understood.also)
        yield f"You also named {listed(tuple(titles))}: ask about that by itself."


def _day(understood: Understood, on: dt.date) -> dt.date:
    """The day to answer for: today if it lies in the span asked about, else the span's first."""
    first = understood.date
    if first is None or (understood.until is not None and first <= on <= understood.until):
        return on
    return first


def _heard(advice: Advice, part: Part, operation: str, question: str) -> Answer:
    """The answer for a part of the lawn, and what further grasses of its stand would change."""
    case = advice.case
    answer = _answer(advice, part, operation, question)
    differing = what_others_say(
        case, part, answer, lambda p: answer_of(advice, advice.by_itself(operation, p))
    )
    told = [*differing.against, *differing.besides]
    others = other_grasses(case, part)
    if others:
        stand = tuple(case.book.grasses[id] for id in (part.grass, *(id for id, _ in others)))
        told += both_suit(case, stand, operation)
    if operation == SPECIES and answer.decision.verdict in ("do", "hold"):
        told.append(_suited(case, part))
    return replace(answer, advice=(*told, *answer.advice))


def _suited(case: Case, part: Part) -> str:
    """The grasses that the same comparison finds nothing against."""
    titles = [
        grass.title
        for id, grass in case.book.grasses.items()
        if as_grass(case, part, id).decider.decide(SPECIES).verdict == "not_needed"
    ]
    if not titles:
        return "By the same comparison no lawn grass suits it: think of mulch or ground cover."
    return f"By the same comparison nothing speaks against {listed(tuple(titles))}."


def _answer(advice: Advice, part: Part, operation: str, question: str) -> Answer:
    return answer_of(advice, advice.item(operation, part), question=question)


def _check_name(name: str, known: frozenset[str], noun: str) -> None:
    if name and name not in known:
        hint = did_you_mean(name, known) or f"; known: {', '.join(sorted(known))}"
        raise BadInput.at(Place(f"--{noun}"), f"no {noun} '{name}'{hint}")
