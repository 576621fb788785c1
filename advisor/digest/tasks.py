"""One thing to do, as a digest shows it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from advisor.amounts.amount import Amount
from advisor.answers.answer import Answer
from advisor.answers.headline import when_text
from advisor.answers.sources import Claim, claims_of
from advisor.answers.words import listed, sentence
from advisor.base.record import Record
from advisor.digest.choose import Job, soonest
from advisor.digest.week import Week

FEW_WORDS = 6


class Task(Record, frozen=True):
    """One thing to do.

    when: its one date, as `by 15 Sep`; empty for what goes on. why: with its sources. effort:
    minutes and amounts. first: work that should come before it and is not ready, and grasses of a
    mixture for which it is not due. cautions, care: the short and the full form of those that no
    task before it has. brief: whether the reasons stand with the steps, for want of room above.
    """

    title: str
    when: str
    why: tuple[Claim, ...]
    effort: str
    first: str
    cautions: tuple[str, ...]
    care: tuple[str, ...]
    delay: str
    nothing: str
    steps: tuple[str, ...]
    advice: tuple[str, ...]
    routine: bool = False
    brief: bool = False

    @property
    def line(self) -> str:
        """`Low mowing, front – by 15 Sep`."""
        return f"{self.title} – {self.when}" if self.when else self.title


def tasks_of(jobs: Iterable[Job], week: Week) -> tuple[Task, ...]:
    """The tasks of some jobs; each caution stands beside the first that it is for."""
    named: set[str] = set()
    found = []
    for job in jobs:
        found.append(_task(job, named, week))
        named |= {id for id, _ in job[0].safety}
    return tuple(found)


def _task(job: Job, named: set[str], week: Week) -> Task:
    first = job[0]
    operation = first.decision.operation
    own = [caution for id, caution in first.safety if id not in named]
    # No task stands without a caution beside it, even if all of its own were told before.
    beside = own or [caution for _, caution in first.safety[:1]]
    areas = listed(tuple(answer.area for answer in job if answer.area))
    return Task(
        title=first.title + (f", {areas}" if areas else ""),
        when=headline_of(job, week),
        why=tuple(_why(first)),
        effort=effort_of(job),
        first=" ".join((_first(job, week), *first.mixture)).strip(),
        cautions=tuple(caution.short for caution in beside),
        care=tuple(caution.text for caution in own),
        delay=sentence(operation.delay),
        nothing=sentence(operation.do_nothing),
        steps=tuple(sentence(step) for step in operation.steps),
        advice=tuple(dict.fromkeys(line for answer in job for line in answer.advice)),
        routine=operation.routine,
    )


def headline_of(job: Job, week: Week) -> str:
    """`by 12 Sep`: the earliest of its areas', as their headlines have it; empty without a day."""
    return when_text(soonest(job), week.advice.case.book)


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
    before = week.advice.case.book.work_before[job[0].decision.operation.id]
    areas = {answer.area for answer in job}
    waiting = dict.fromkeys(
        a.title.lower()
        for a in (*week.hold, *week.measure)
        if a.area in areas and a.item.sure and a.decision.operation.id in before
    )
    return sentence(f"First, when it can be done: {listed(tuple(waiting))}") if waiting else ""


def _why(answer: Answer) -> Iterator[Claim]:
    """The first reason, and the second where the first alone says little."""
    said = claims_of(answer)[:2]
    if said:
        yield said[0]
        if len(said) > 1 and len(said[0].says.split()) < FEW_WORDS:
            yield said[1]
