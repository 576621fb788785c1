"""What of the wanted work a keeper's limits cut off, because of which of them, and what is lost."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, get_args

from advisor.advice.item import Item, Weight
from advisor.answers.words import listed
from advisor.base.record import Record, replace
from advisor.base.vocabularies import complete
from advisor.planning.timetable import Plan, Task
from advisor.records.limits import NO_LIMITS, Limits

LimitName = Literal["machines", "lifting", "hire", "hired_on", "shop", "engines", "work", "away"]
"""The keys of `limits` in site.yaml that hinder, in the order in which they are asked."""
Job = tuple[str, str]
"""An operation and an area."""
LOSES = complete(
    {
        "life": "something alive is lost",
        "year": "the chance is gone for most of a year",
        "season": "this season is lost",
        "weeks": "some weeks are lost",
        "none": "nothing is lost",
    },
    Weight,
)


BECAUSE = complete(
    {
        "machines": "you work by hand alone",
        "lifting": "you must not lift and loading takes two",
        "hire": "the hire may not cost more than {hire}",
        "hired_on": "the machine is not to be had then",
        "shop": "the hire shop is not open long enough",
        "engines": "engines may not be heard that long",
        "work": "the hours that you have do not hold it",
        "away": "nobody is there long enough",
    },
    LimitName,
)


class Cut(Record, frozen=True):
    """A job that has no hour, or of which a part has none. worth: of what was cut off.

    because: the limits without which it would have one; empty where the days do not hold it anyway.
    """

    item: Item
    because: tuple[LimitName, ...]
    worth: float

    @property
    def costs(self) -> str:
        """What is lost with it, in a few words."""
        return LOSES[self.item.weight]

    def why(self, hire: str) -> str:
        """The limits that are to blame, in words; empty for none. hire: the most it may cost."""
        return listed(tuple(BECAUSE[name].format(hire=hire) for name in self.because))


def cuts(
    limits: Limits,
    plan: Plan,
    tasks: Sequence[Task],
    items: Sequence[Item],
    plan_within: Callable[[Limits], Plan],
) -> tuple[Cut, ...]:
    """What was dropped, the least worth first: so the plan gives it up.

    A job is dropped for the first limit without which it would have an hour; where no one of them
    is enough, for as few as it takes together.
    """
    lost = _jobs(plan, tasks)
    given: list[LimitName] = [
        name for name in get_args(LimitName) if getattr(limits, name) != getattr(NO_LIMITS, name)
    ]

    def brings_back(names: Sequence[LimitName]) -> set[Job]:
        less = replace(limits, **{name: getattr(NO_LIMITS, name) for name in names})
        return lost.keys() - _jobs(plan_within(less), tasks).keys()

    because: dict[Job, tuple[LimitName, ...]] = {}
    for name in given:
        if len(because) < len(lost):
            because |= dict.fromkeys(brings_back([name]) - because.keys(), (name,))
    if len(given) > 1 and len(because) < len(lost):
        for job in brings_back(given) - because.keys():
            because[job] = _as_few(given, job, brings_back)
    of = {(item.operation.id, item.part.name): item for item in items}
    found = [Cut(of[job], because.get(job, ()), worth) for job, worth in lost.items()]
    return tuple(sorted(found, key=lambda cut: cut.worth))


def _as_few(
    given: Sequence[LimitName],
    job: Job,
    brings_back: Callable[[Sequence[LimitName]], set[Job]],
) -> tuple[LimitName, ...]:
    """Of limits that are enough together those of which none can be spared."""
    left = list(given)
    for name in given:
        without = [other for other in left if other != name]
        if job in brings_back(without):
            left = without
    return tuple(left)


def _jobs(plan: Plan, tasks: Sequence[Task]) -> dict[Job, float]:
    """The jobs with a step that has no hour, and the worth of those steps."""
    found: dict[Job, float] = {}
    for task in tasks:
        if task.id in plan.dropped:
            job = task.operation, task.area
            found[job] = found.get(job, 0.0) + task.worth
    return found
