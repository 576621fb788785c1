"""One thing to do, and the coming free days, as a digest shows them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import Any

from advisor.advice.free_days import FreeRun, free_runs
from advisor.advice.item import Item
from advisor.amounts.amount import Amount
from advisor.answers.answer import Answer
from advisor.answers.headline import when_text
from advisor.answers.sources import Claim, Line, claims_of
from advisor.answers.words import TENTHS, in_ten, listed, sentence
from advisor.base.dates import ONE_DAY, say_date
from advisor.base.record import Record
from advisor.base.units import show
from advisor.planning.fit_days import fit_days, run_fit
from advisor.planning.shut_days import shut_says
from advisor.records.limits import NO_LIMITS
from advisor.render.digest.lead import unready
from advisor.render.digest.leads import Job, choose_jobs, soonest
from advisor.render.digest.week import Week

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
    waiting = unready(job, (*week.hold, *week.measure), week.advice.case.book)
    return sentence(f"First, when it can be done: {listed(waiting)}") if waiting else ""


def _why(answer: Answer) -> Iterator[Claim]:
    """The first reason, and the second where the first alone says little."""
    said = claims_of(answer)[:2]
    if said:
        yield said[0]
        if len(said) > 1 and len(said[0].says.split()) < FEW_WORDS:
            yield said[1]


RUNS, LOOK_DAYS = 4, 35
NEAR_DAYS = 28


class RunChance(Record, frozen=True):
    """Free days, and in which share of the years one of them is fit for the work."""

    run: FreeRun
    chance: float


class FreeDays(Record, frozen=True):
    """The next free days for the work that the rest serves. shut: which the limits take away."""

    item: Item
    runs: tuple[RunChance, ...]
    shut: str


def free_days_of(week: Week, shown: Iterable[Job]) -> FreeDays | None:
    """None where there is no such work, or no free day."""
    item = _leading(week, shown)
    if item is None:
        return None
    until = week.first + LOOK_DAYS * ONE_DAY
    case, gates = week.advice.case, week.advice.gates
    fit = fit_days(item.part.decider, item.operation.id)
    found = []
    for run in free_runs(case.site, case.limits, week.first, until)[:RUNS]:
        suits = run_fit(item, fit, run, gates)
        found.append(RunChance(run, suits.chance if suits is not None else 0.0))
    shut = shut_says(case, week.first, until) if case.limits != NO_LIMITS else ""
    return FreeDays(item, tuple(found), shut) if found or shut else None


def free_days_json(week: Week) -> dict[str, Any] | None:
    """For other programs; chances are shares of the years."""
    jobs, _ = choose_jobs(week.do)
    found = free_days_of(week, jobs)
    if found is None:
        return None
    job, part = found.item.key
    runs = [
        {
            "from": each.run.first.isoformat(),
            "to": each.run.last.isoformat(),
            "chance": round(each.chance, 3),
        }
        for each in found.runs
    ]
    return {"job": job, "part": part, "runs": runs}


def strip_of(week: Week, shown: Iterable[Job]) -> Iterator[Line]:
    """The chances of that work on these days; the soil's warmth."""
    found = free_days_of(week, shown)
    if found is not None:
        yield Line(f"Free days for {_named(week, found.item)}", _chances(found, week.first))
    if soil := _soil(week):
        yield Line("Soil", soil)


def _chances(found: FreeDays, on: dt.date) -> str:
    """`5–7 Sep nearly every year · 12–13 Sep 8 years in 10`."""
    tenths = [round(each.chance * TENTHS) for each in found.runs]
    said = [
        f"{_days(each.run, on)} {in_ten(at)}" for each, at in zip(found.runs, tenths, strict=True)
    ]
    if not said:
        said = [f"none until {say_date(on + LOOK_DAYS * ONE_DAY, relative_to=on)}"]
    elif not any(tenths):
        last = say_date(found.runs[-1].run.last, relative_to=on)
        said = [f"hardly a chance on any until {last}"]
    return " · ".join(filter(None, (*said, found.shut)))


def _leading(week: Week, shown: Iterable[Job]) -> Item | None:
    """Of the season's work that weighs most, the job that comes last in working order."""
    rank = week.advice.case.book.working_rank
    items = [soonest(job) for job in shown if not job[0].item.goes_on]
    if not items:
        items = [i for i in week.advice.taken_up() if i.sure and i.near(NEAR_DAYS)]
    if not items:
        return None
    heaviest = min(item.order()[:2] for item in items)
    return max((i for i in items if i.order()[:2] == heaviest), key=lambda i: rank[i.operation.id])


def _named(week: Week, item: Item) -> str:
    """The job, with its part where it is wanted on another as well, which has its own days."""
    wanted = [i for i in week.advice.taken_up() if i.operation.id == item.operation.id]
    where = f" ({item.part.label})" if len(wanted) > 1 else ""
    return f"{item.operation.title.lower()}{where}"


def _days(run: FreeRun, on: dt.date) -> str:
    first, last = run.first, run.last
    if first == last:
        return say_date(first, relative_to=on)
    start = str(first.day) if first.month == last.month else say_date(first)
    return f"{start}–{say_date(last, relative_to=on)}"


def _soil(week: Week) -> str:
    """`74 °F; 2 °F warmer than the middle of 29 years`."""
    warmth = soil_warmth(week)
    if warmth is None:
        return ""
    now = show(warmth, "°C", week.advice.case.site.unit_system)
    return f"{now}; {week.soil.removeprefix('the soil is ')}" if week.soil else now


def soil_warmth(week: Week) -> float | None:
    """°C at 4 in (10 cm); None where it is not known."""
    warmth = week.advice.parts[0].decider.day.facts["soil_temperature_4in"].value
    return warmth if isinstance(warmth, float) else None
