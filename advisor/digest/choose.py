"""Which of all that could be done this week a digest leads with."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from advisor.answers.answer import Answer

MOST_TO_DO = 3

Job = tuple[Answer, ...]
"""The answers for one operation on the areas where it is to be done."""


def jobs_of(answers: Iterable[Answer]) -> list[Job]:
    """Answers to do, one job for each operation, in the order given."""
    jobs: dict[str, list[Answer]] = {}
    for answer in answers:
        jobs.setdefault(answer.decision.operation.id, []).append(answer)
    return [tuple(job) for job in jobs.values()]


def choose_jobs(answers: Iterable[Answer]) -> tuple[list[Job], list[Job]]:
    """The jobs to lead with, in working order, and the rest.

    What closes first comes before what can wait. Routine, which goes on without a reminder, leads
    only where there is no season's work, and never while a better season for it is to come: else
    the same care of tools would head every week from spring to autumn.
    """
    jobs = jobs_of(answers)
    season = [job for job in jobs if not job[0].decision.operation.routine]
    urgent = sorted(season or [j for j in jobs if not _unhurried(j)], key=last_good_day)
    chosen = {id(job) for job in urgent[:MOST_TO_DO]}
    return [j for j in jobs if id(j) in chosen], [j for j in jobs if id(j) not in chosen]


def _unhurried(job: Job) -> bool:
    """Whether it could be done now, though another window is the better one for it."""
    openings = (answer.decision.outlook.current for answer in job)
    return all(o is not None and o.window.prefer > 1 for o in openings)


def last_good_day(job: Job) -> dt.date:
    """The first day by which one of its areas should be done."""
    return min(answer.decision.by or dt.date.max for answer in job)
