"""The first and the last day of each step, and of the whole, from the dates of the items."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from advisor.base.dates import ONE_DAY
from advisor.base.record import replace
from advisor.planning.programme_step import Standing, Step
from advisor.rulebook.programme import ProgrammeJob, ThroughStep

Day = dt.date | None


def with_days(standing: Standing) -> Standing:
    """The standing with the days of its steps.

    A step falls no sooner than its item can be done, and no sooner after the step before it than
    the programme leaves; no later than its item has to be done, and as long before the step after
    it. What is left out, or not known to be needed, moves nothing. What a job that was done has
    opened closes again: the next has the most days from there; past a job that is left out the
    longer of the two pauses, unless that is over before it can be done at all.
    """
    jobs = _before_the_next(_after_the_last([s for s in standing.steps if not s.care]))
    counted = [step for step in jobs if step.counts]
    hearts = [step for step in counted if step.heart]
    first = standing.heart_on or _most(step.first for step in hearts)
    last = standing.heart_on or _most(step.last for step in hearts)
    care = [_care(step, first, last) for step in standing.steps if step.care]
    following = [step for step in care if step.state != "left_out"]
    ends = [_end(step, step.first, 0) for step in following if step.first]
    late = [_end(step, step.last, 1) for step in following if step.last]
    return replace(
        standing,
        steps=(*jobs, *care),
        first=_least(step.done_on[0] if step.done_on else step.first for step in counted),
        last=_most(step.done_on[-1] if step.state == "done" else step.last for step in counted),
        through=(max(ends), max(late)) if ends and late else None,
    )


def _after_the_last(steps: Sequence[Step]) -> list[Step]:
    """Each step on its own days, no sooner than those before it allow."""
    found: list[Step] = []
    slack, before = 0, None
    for step in steps:
        low, high = _between(step)
        if step.open:
            first, last = _own(step)
            if before is not None:
                done = before.done_on[-1] if before.state == "done" else None
                start = done or before.first
                first = _most((first, start and start + low * ONE_DAY))
                closes = done and done + max(high, slack) * ONE_DAY
                if closes and not step.item.appointed and (first is None or first <= closes):
                    last = _least((last, closes))
            step = replace(step, first=first, last=last)
        if step.counts:
            slack, before = 0, step
        else:
            slack = max(slack, high)
        found.append(step)
    return found


def _before_the_next(steps: Sequence[Step]) -> list[Step]:
    """The same, no later than those after it allow."""
    found: list[Step] = []
    after: Step | None = None
    for step in reversed(steps):
        if step.open and after is not None and after.last is not None:
            end = after.last - _between(after)[0] * ONE_DAY
            step = replace(step, last=_least((step.last, end)))
        if step.counts:
            after = step
        found.append(step)
    return found[::-1]


def _own(step: Step) -> tuple[Day, Day]:
    """The days between which the advice has a job, as far as it tells."""
    item = step.item
    if item.appointed is not None:
        return item.appointed, item.appointed
    date, decision = item.date, item.decision
    first = _most((item.starts, *(wait.until for wait in step.waits)))
    if item.goes_on:
        return first, None
    if date is not None and date.kind == "deadline":
        return first, date.day
    current = decision.outlook.current
    ends = current.closes.p10 if current is not None and not current.all_year else None
    return first, decision.by or ends


def _care(step: Step, first: Day, last: Day) -> Step:
    assert isinstance(step.rule, ThroughStep)
    if not step.open:
        return step
    low, high = step.rule.days
    begins = first and first + low * ONE_DAY
    begins = _most((begins, *(wait.until for wait in step.waits)))
    return replace(step, first=begins, last=last and _most((last + high * ONE_DAY, begins)))


def _end(step: Step, day: dt.date, which: int) -> dt.date:
    assert isinstance(step.rule, ThroughStep)
    lasts = step.rule.lasts
    return day + (lasts[which] if lasts else 0) * ONE_DAY


def _between(step: Step) -> tuple[int, int]:
    days = step.rule.days if isinstance(step.rule, ProgrammeJob) else None
    return days or (0, 0)


def _most(days: Iterable[Day]) -> Day:
    return max((day for day in days if day is not None), default=None)


def _least(days: Iterable[Day]) -> Day:
    return min((day for day in days if day is not None), default=None)
