"""What a digest shows, in order: the same plain data behind text, HTML and mail.

The head is short: one sentence, at most three things to do, one to find out, three to come. What
a reader may look up (steps, full cautions, sources) follows after it.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.answers.answer import Answer
from advisor.answers.lawn import Lawn
from advisor.answers.words import listed, sentence
from advisor.digest.week import MOST_COMING, MOST_TO_DO, Week, stood_in_for
from advisor.rulebook.model import Evidence

FEW_WORDS = 6
NEWS_DAYS = 21
"""A missed season is told for three weeks, then it is old news."""
DONE_DAYS = 120
"""Work done so recently is not called missed."""


@dataclass(frozen=True)
class Task:
    """One thing to do. effort: minutes and amounts. first: work that should come before it and is
    not ready. cautions: short, those of this task alone."""

    title: str
    verdict: str
    why: str
    effort: str
    first: str
    cautions: tuple[str, ...]
    delay: str
    nothing: str
    steps: tuple[str, ...]
    advice: tuple[str, ...]


@dataclass(frozen=True)
class Line:
    """A title with one sentence."""

    title: str
    says: str


@dataclass(frozen=True)
class Finding:
    """The one fact to find out: for which work, how, and what each result means."""

    for_what: str
    title: str
    how: str
    results: tuple[str, ...]


@dataclass(frozen=True)
class Digest:
    """Everything that a digest shows.

    then: what is to be done after the tasks. shared: short cautions of several tasks that do not
    stand beside one already. cautions: every caution of the tasks in full. Renderers show all.
    """

    site: str
    first: dt.date
    last: dt.date
    lead: str
    changed: tuple[str, ...]
    tasks: tuple[Task, ...]
    shared: tuple[str, ...]
    finding: Finding | None
    then: str
    held: tuple[Line, ...]
    dated: tuple[Line, ...]
    coming: tuple[Line, ...]
    leave: str
    water: tuple[str, ...]
    cautions: tuple[str, ...]
    sources: tuple[str, ...]
    weather: str


def digest_of(week: Week, lawn: Lawn, changed: tuple[str, ...] = ()) -> Digest:
    """The digest of a composed week."""
    shown = week.do[:MOST_TO_DO]
    common = _common_cautions(shown)
    rest = week.do[MOST_TO_DO:]
    tasks = tuple(_task(answer, common, week) for answer in shown)
    shared = [lawn.book.cautions[id].short for id in common]
    return Digest(
        site=week.site,
        first=week.first,
        last=week.last,
        lead=week.lead,
        changed=changed,
        tasks=tasks,
        shared=tuple(c for c in shared if not any(c in task.cautions for task in tasks)),
        finding=_finding(week),
        then=_then(rest),
        held=tuple(_lines((*week.hold, *news_of_missed(week)))),
        dated=(),
        coming=tuple(_lines(week.coming))[:MOST_COMING],
        leave=_leave(a for a in week.leave if _in_season(a)),
        water=week.water,
        cautions=tuple(caution.text for _, caution in week.safety),
        sources=tuple(_sources((*week.do, *week.hold, *week.coming))),
        weather=week.weather,
    )


def news_of_missed(week: Week) -> Iterator[Answer]:
    """What was wanted, has just become too late or is ruled out, and was not simply done."""
    for answer in week.missed:
        decision, current = answer.decision, answer.decision.outlook.current
        since = decision.facts[f"days_since.{decision.operation.id}"].value
        done = isinstance(since, float) and since <= DONE_DAYS
        fresh = current is None or (decision.on - current.closes.p50).days <= NEWS_DAYS
        needed = decision.judgement.truths["need"] is True
        if fresh and needed and not done and not stood_in_for(answer, week.answers):
            yield answer


def _in_season(answer: Answer) -> bool:
    return answer.decision.outlook.state == "open"


def _task(answer: Answer, common: tuple[str, ...], week: Week) -> Task:
    operation = answer.decision.operation
    own = [caution.short for id, caution in answer.safety if id not in common]
    if not own:
        # No task stands without a caution beside it, even if all of its own are shared.
        own = [answer.safety[0][1].short]
    return Task(
        title=_title(answer),
        verdict=sentence(answer.headline),
        why=_why(answer),
        effort=sentence("; ".join(a.says for a in answer.amounts)),
        first=_first(answer, week),
        cautions=tuple(own),
        delay=sentence(operation.delay),
        nothing=sentence(operation.do_nothing),
        steps=tuple(sentence(step) for step in operation.steps),
        advice=answer.advice,
    )


def _first(answer: Answer, week: Week) -> str:
    """Work that is needed on the same area, comes before this, and cannot be done yet."""
    order = week.before[answer.decision.operation.id]
    waiting = [
        a.title.lower()
        for a in (*week.hold, *week.measure)
        if a.area == answer.area
        and a.decision.operation.id in order
        and a.decision.judgement.truths["need"] is True
    ]
    return sentence(f"First, when it can be done: {listed(tuple(waiting))}") if waiting else ""


def _why(answer: Answer) -> str:
    """The first reason; with the second where the first alone says little."""
    said = [reason.says for reason in answer.told]
    if not said:
        return ""
    enough = 1 if len(said[0].split()) >= FEW_WORDS else 2
    return sentence("; ".join(said[:enough]))


def _common_cautions(answers: tuple[Answer, ...]) -> tuple[str, ...]:
    """Ids of the cautions that two tasks or more have, in order of first mention."""
    counts = Counter(id for answer in answers for id, _ in answer.safety)
    return tuple(id for id in counts if counts[id] > 1)


def _finding(week: Week) -> Finding | None:
    if week.question is None:
        return None
    wanted = week.question.wanted
    results = tuple(sentence(result) for result in wanted.results)
    return Finding(week.question.for_what, wanted.title, wanted.how, results)


def _then(answers: Iterable[Answer]) -> str:
    """What else can be done, each with its last good day."""
    said = [f"{_title(a).lower()} ({a.headline.removeprefix('Do it – ')})" for a in answers]
    return sentence(f"After these: {listed(tuple(said))}") if said else ""


def _lines(answers: Iterable[Answer]) -> Iterator[Line]:
    """One line for each operation and headline; areas that share both are named together.

    A missed season is told without the price of the next: that stands in the full answer.
    """
    areas: dict[tuple[str, str], list[str]] = {}
    for answer in answers:
        said = answer.headline
        if answer.decision.verdict == "missed":
            said = said.split(", at a cost")[0]
        areas.setdefault((answer.title, sentence(said)), []).append(answer.area)
    for (title, said), names in areas.items():
        where = listed(tuple(name for name in names if name))
        yield Line(f"{title}, {where}" if where else title, said)


def _title(answer: Answer) -> str:
    return answer.title + (f", {answer.area}" if answer.area else "")


def _leave(answers: Iterable[Answer]) -> str:
    """One sentence on all that is not needed."""
    by_area: dict[str, list[str]] = {}
    for answer in answers:
        by_area.setdefault(answer.area, []).append(answer.title.lower())
    parts = (
        listed(tuple(titles)) + (f" in the {area}" if area else "")
        for area, titles in by_area.items()
    )
    return sentence("; ".join(parts))


def _sources(answers: Iterable[Answer]) -> Iterator[str]:
    found: dict[str, Evidence] = {}
    for answer in answers:
        for reason in answer.told:
            found |= {str(e): e for e in reason.evidence}
    yield from found


def say_period(first: dt.date, last: dt.date) -> str:
    """`5 to 11 September 2026`, `29 July to 4 August 2025`."""
    if first.month == last.month:
        return f"{first.day} to {last.day} {last:%B %Y}"
    year = f" {first.year}" if first.year != last.year else ""
    return f"{first.day} {first:%B}{year} to {last.day} {last:%B %Y}"
