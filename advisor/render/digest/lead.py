"""The one sentence that a digest begins with."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence

from advisor.answers.answer import Answer
from advisor.answers.words import listed
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.planning.programme_step import Standing
from advisor.render.digest.leads import Job, choose_jobs, soonest
from advisor.rulebook.model import RuleBook


class Lists(Record, frozen=True):
    """The answers of a week that its first sentence is about, in their order."""

    do: tuple[Answer, ...]
    hold: tuple[Answer, ...]
    coming: tuple[Answer, ...]
    measure: tuple[Answer, ...]


def lead_of(
    lists: Lists, programmes: Iterable[Standing], wanted: str, book: RuleBook, on: dt.date
) -> str:
    """programmes: those to be told of. wanted: the title of the one fact to find out, if one is
    worth a sentence."""
    jobs, rest = choose_jobs(lists.do)
    if jobs:
        return _of_jobs(jobs, lists, tuple(programmes), book, on)
    if lists.hold:
        return f"{lists.hold[0].title} is in season, but not this week as things stand."
    if wanted and rest:
        return f"Nothing presses this week; find out one thing: {wanted}."
    if wanted:
        return f"Nothing to do until one thing is known: {wanted}."
    if lists.coming:
        opens = say_date(opens_on(lists.coming[0]), relative_to=on)
        nothing = "Nothing presses" if rest else "Nothing to do"
        return f"{nothing} this week; next is {lists.coming[0].title.lower()}, about {opens}."
    return "Nothing presses this week." if rest else "Nothing to do this week."


def _whole(jobs: Sequence[Job], programmes: Iterable[Standing]) -> str:
    """The title of the programme that several jobs are steps of; else empty."""
    wanted = {answer.item.key for job in jobs for answer in job}
    for standing in programmes if len(jobs) > 1 else ():
        if wanted <= {step.item.key for step in standing.counted}:
            return standing.programme.title
    return ""


def _of_jobs(
    jobs: Sequence[Job], lists: Lists, programmes: Sequence[Standing], book: RuleBook, on: dt.date
) -> str:
    names = tuple(job[0].title.lower() for job in jobs)
    if all(job[0].item.goes_on for job in jobs):
        return f"Nothing but routine this week: {listed(names)}."
    dates = [soonest(job).date for job in jobs]
    planned = [date.day for date in dates if date is not None and date.kind == "appointment"]
    if len(planned) == len(jobs):
        day = min(planned)
        when = "on" if len(set(planned)) == 1 else "from"
        return f"As planned: {listed(names)}, {when} {day:%A} {say_date(day, relative_to=on)}."
    days = {date.day for date in dates if date is not None and date.kind == "deadline"}
    first = dates[0]
    until = ""
    if first is not None and first.kind == "deadline":
        until = f"by {say_date(first.day, relative_to=on)}"
    # What was done once and is to be done again, later, keeps nothing from being done.
    done = {step.item.key for each in programmes for step in each.steps if step.done_on}
    others = (a for a in (*lists.hold, *lists.measure) if a.item.key not in done)
    if before := unready(jobs[0], others, book):
        by = f", {until}," if until else ""
        return f"Not this week as things stand: {names[0]}{by} waits for {listed(before)}."
    whole = _whole(jobs, programmes)
    week = f"{whole} this week" if whole else "This week"
    if not until:
        return f"{week}: {listed(names)}."
    if len(names) == 1 or len(days) == 1:
        return f"{week}: {listed(names)}, {until}."
    return f"{week}: {listed(names)}; {names[0]} comes first, {until}."


def unready(job: Job, others: Iterable[Answer], book: RuleBook) -> tuple[str, ...]:
    """Of some held answers the titles of work that this job needs before it on the same area, in
    working order."""
    before = book.work_before[job[0].decision.operation.id]
    areas = {answer.area for answer in job}
    needed = {
        answer.decision.operation.id: answer.title.lower()
        for answer in others
        if answer.area in areas and answer.item.sure and answer.decision.operation.id in before
    }
    return tuple(needed[id] for id in sorted(needed, key=lambda id: book.working_rank[id]))


def opens_on(answer: Answer) -> dt.date:
    """When its season opens, also where something forbids the work all through it."""
    opening = answer.window or answer.decision.outlook.whole
    assert opening is not None
    return opening.opens.p50
