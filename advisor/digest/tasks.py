"""One thing to do, as a digest shows it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.amounts.amount import Amount
from advisor.answers.answer import Answer
from advisor.answers.words import listed, sentence
from advisor.digest.choose import Job
from advisor.digest.week import Week

FEW_WORDS = 6


@dataclass(frozen=True)
class Task:
    """One thing to do.

    why_more: a second reason where the first is short. effort: minutes and amounts. first: work
    that should come before it and is not ready, and grasses of a mixture for which it is not due.
    cautions: short, those of this task alone.
    """

    title: str
    verdict: str
    why: str
    why_more: str
    effort: str
    first: str
    cautions: tuple[str, ...]
    delay: str
    nothing: str
    steps: tuple[str, ...]
    advice: tuple[str, ...]
    routine: bool = False


def task_of(job: Job, common: tuple[str, ...], week: Week) -> Task:
    """The task of a job. common: ids of the cautions that are told for several tasks at once."""
    first = job[0]
    operation = first.decision.operation
    own = [caution.short for id, caution in first.safety if id not in common]
    if not own:
        # No task stands without a caution beside it, even if all of its own are shared.
        own = [first.safety[0][1].short]
    why, why_more = _why(first)
    areas = listed(tuple(answer.area for answer in job if answer.area))
    return Task(
        title=first.title + (f", {areas}" if areas else ""),
        verdict=sentence(_verdict(job)),
        why=why,
        why_more=why_more,
        effort=effort_of(job),
        first=" ".join((_first(job, week), *first.mixture)).strip(),
        cautions=tuple(own),
        delay=sentence(operation.delay),
        nothing=sentence(operation.do_nothing),
        steps=tuple(sentence(step) for step in operation.steps),
        advice=tuple(dict.fromkeys(line for answer in job for line in answer.advice)),
        routine=operation.routine,
    )


def headline_of(job: Job) -> str:
    """`by 12 Sep`: the earliest of its areas', as their headlines have it; empty without a day."""
    return _verdict(job).removeprefix("Do it").removeprefix(" – ")


def _verdict(job: Job) -> str:
    soonest = min(job, key=lambda a: (a.decision.by is None, a.decision.by or a.decision.on))
    return soonest.headline


def common_cautions(jobs: list[Job]) -> tuple[str, ...]:
    """Ids of the cautions that two jobs or more have, in order of first mention."""
    counts = Counter(id for job in jobs for id, _ in job[0].safety)
    return tuple(id for id in counts if counts[id] > 1)


def effort_of(job: Job) -> str:
    """Minutes and amounts; by area where there are several."""
    said = [(a.area, "; ".join(_shortly(a.amounts))) for a in job]
    if len(said) == 1:
        return sentence(said[0][1])
    return " ".join(sentence(f"{area}: {text}") for area, text in said if text)


def _shortly(amounts: Iterable[Amount]) -> Iterator[str]:
    """The time first; the water of weeks to come is told where the amounts are."""
    told = [amount for amount in amounts if amount.name != "seed_water"]
    yield from (amount.says for amount in sorted(told, key=lambda each: each.name != "time"))


def _first(job: Job, week: Week) -> str:
    """Work that is needed on the same area, comes before this, and cannot be done yet."""
    before = week.before[job[0].decision.operation.id]
    areas = {answer.area for answer in job}
    waiting = dict.fromkeys(
        a.title.lower()
        for a in (*week.hold, *week.measure)
        if a.area in areas
        and a.decision.operation.id in before
        and a.decision.judgement.truths["need"] is True
    )
    return sentence(f"First, when it can be done: {listed(tuple(waiting))}") if waiting else ""


def _why(answer: Answer) -> tuple[str, str]:
    """The first reason, and the second where the first alone says little."""
    said = [sentence(reason.says) for reason in answer.told[:2]]
    first = said[0] if said else ""
    more = said[1] if len(said) > 1 and len(first.split()) < FEW_WORDS else ""
    return first, more
