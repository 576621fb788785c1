"""Which of all that could be done this week a digest leads with."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.advice.item import Item
from advisor.answers.answer import Answer

MOST_TO_DO = 4

Job = tuple[Answer, ...]
"""The answers for one operation on the areas where it is to be done."""


def jobs_of(answers: Iterable[Answer]) -> list[Job]:
    """Answers to do, one job for each operation, in the order given."""
    jobs: dict[str, list[Answer]] = {}
    for answer in answers:
        jobs.setdefault(answer.decision.operation.id, []).append(answer)
    return [tuple(job) for job in jobs.values()]


def choose_jobs(answers: Iterable[Answer]) -> tuple[list[Job], list[Job]]:
    """The jobs to lead with and the rest, in the order given.

    Routine, which goes on without a reminder, leads only where there is no season's work, and never
    while a better season for it is to come: else the same care of tools would head every week from
    spring to autumn.
    """
    jobs = jobs_of(answers)
    season = [job for job in jobs if not job[0].decision.operation.routine]
    leading = season or [job for job in jobs if not _unhurried(job)]
    chosen = {id(job) for job in leading[:MOST_TO_DO]}
    return [j for j in jobs if id(j) in chosen], [j for j in jobs if id(j) not in chosen]


def soonest(job: Job) -> Item:
    """The part of the lawn whose day is told for the whole job: the earliest."""
    return min((answer.item for answer in job), key=lambda item: item.order())


def _unhurried(job: Job) -> bool:
    """Whether it could be done now, though another window is the better one for it."""
    openings = (answer.decision.outlook.current for answer in job)
    return all(o is not None and o.window.prefer > 1 for o in openings)
