"""What the journal tells of the present run of a programme on a part of the lawn."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping, Sequence

from advisor.base.dates import ONE_DAY, season_start
from advisor.base.record import Record
from advisor.records.entry import Entry
from advisor.records.journal import Journal
from advisor.rulebook.model import RuleBook
from advisor.rulebook.programme import Programme, ProgrammeJob


class Run(Record, frozen=True):
    """heart_on: the last day on which a heart of it was done. hearts: those that were. done: by
    job, the records of it."""

    heart_on: dt.date | None
    hearts: tuple[str, ...]
    done: Mapping[str, tuple[Entry, ...]]


def run_of(
    programme: Programme,
    jobs: Sequence[ProgrammeJob],
    journal: Journal,
    areas: Collection[str],
    on: dt.date,
    latitude: float,
) -> Run:
    """The present run. jobs: those of the programme that count here. journal: as of the day.

    A record belongs to it only if it is no older than the most days that the programme leaves
    between that job and now, or between it and the heart.
    """
    since = season_start(on, -latitude or -1.0) if programme.anew == "midwinter" else dt.date.min

    def records(id: str, first: dt.date, last: dt.date) -> tuple[Entry, ...]:
        return tuple(
            entry
            for entry in journal.work(id)
            if max(first, since) <= entry.date <= last and (not entry.area or entry.area in areas)
        )

    whole = sum(job.days[1] for job in jobs if job.days)
    hearts = [
        entry.date
        for job in jobs
        if job.heart
        for entry in records(job.job, on - (days_after(programme) or whole) * ONE_DAY, on)
    ]
    heart_on = max(hearts, default=None)
    first = (heart_on or on) - whole * ONE_DAY
    done = {job.job: records(job.job, first, on) for job in jobs}
    for step in programme.through:
        if heart_on is not None:
            # What is due on the day itself may be done on it; what comes later is not the same.
            begins = heart_on + (ONE_DAY if step.days[0] else 0 * ONE_DAY)
            done[step.job] = records(step.job, begins, on)
    return Run(heart_on, tuple(job.job for job in jobs if job.heart and done[job.job]), done)


def days_after(programme: Programme) -> int:
    """The most days from the heart until it has been brought through; 0 where nothing follows."""
    return max((x.days[1] + (x.lasts[1] if x.lasts else 0) for x in programme.through), default=0)


def is_seasonal(programme: Programme, book: RuleBook) -> bool:
    """Whether a record of its heart alone says that it was begun, as that of a mowing does not."""
    return not any(book.operations[id].routine for id in programme.hearts)
