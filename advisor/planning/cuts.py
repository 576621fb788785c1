"""What of the wanted work a keeper's limits cut off, because of which of them, and what is lost."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Literal, get_args

from advisor.advice.item import Item, Weight
from advisor.base.record import Record, replace
from advisor.base.vocabularies import complete
from advisor.planning.timetable import Plan, Task
from advisor.records.limits import NO_LIMITS, Limits

LimitName = Literal["machines", "lifting", "hire", "hired_on", "shop", "engines", "work", "away"]
"""The keys of `limits` in site.yaml that hinder, in the order in which they are asked."""
Because = Literal[LimitName, "together", "room"]
"""together: several limits at once. room: none of them; the hours of the days do not hold it."""
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


class Cut(Record, frozen=True):
    """A job that has no hour, or of which a part has none. worth: of what was cut off."""

    item: Item
    because: Because
    worth: float

    @property
    def costs(self) -> str:
        """What is lost with it, in a few words."""
        return LOSES[self.item.weight]


def cuts(
    limits: Limits,
    plan: Plan,
    tasks: Sequence[Task],
    items: Sequence[Item],
    plan_within: Callable[[Limits], Plan],
) -> tuple[Cut, ...]:
    """What was dropped, the least worth first: so the plan gives it up.

    The limit that a job is dropped for is the first without which it would have an hour.
    """
    lost = _jobs(plan, tasks)
    if not lost:
        return ()
    because: dict[tuple[str, str], Because] = {}
    for name, relaxed in _relaxed(limits):
        if len(because) < len(lost):
            missing = _jobs(plan_within(relaxed), tasks)
            because |= {job: name for job in lost if job not in because and job not in missing}
    of = {(item.operation.id, item.part.name): item for item in items}
    found = [Cut(of[job], because.get(job, "room"), worth) for job, worth in lost.items()]
    return tuple(sorted(found, key=lambda cut: cut.worth))


def _relaxed(limits: Limits) -> Iterator[tuple[Because, Limits]]:
    """Without each limit that is set, then without any."""
    given = [n for n in get_args(LimitName) if getattr(limits, n) != getattr(NO_LIMITS, n)]
    for name in given:
        yield name, replace(limits, **{name: getattr(NO_LIMITS, name)})
    if len(given) > 1:
        yield "together", replace(NO_LIMITS, helpers=limits.helpers)


def _jobs(plan: Plan, tasks: Sequence[Task]) -> dict[tuple[str, str], float]:
    """The jobs with a step that has no hour, and the worth of those steps."""
    found: dict[tuple[str, str], float] = {}
    for task in tasks:
        if task.id in plan.dropped:
            job = task.operation, task.area
            found[job] = found.get(job, 0.0) + task.worth
    return found
