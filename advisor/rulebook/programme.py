"""A programme as typed data: the jobs around one aim, in order, with the days between them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from advisor.base.problems import Place
from advisor.base.record import Record, field
from advisor.rulebook.conditions import Condition, Evidence

Anew = Literal["midwinter"]
"""The day of the year on which a programme begins anew: what was done before it does not count."""
Days = tuple[int, int]
"""The fewest and the most days."""


class ProgrammeJob(Record, frozen=True):
    """One job of a programme; its need, season and readiness stand in its own rule file.

    heart: whether the programme is about it; any other is left out where it is not needed. days:
    after the job before it; None for the first. hangs_on: the jobs of the programme without which
    it has no place; one of them is enough. causes: only after these; empty: after any. grasses:
    those for which it is part of the programme; empty: all of them.
    """

    job: str
    says: str
    heart: bool = False
    days: Days | None = None
    hangs_on: tuple[str, ...] = ()
    causes: frozenset[str] = frozenset()
    grasses: frozenset[str] = frozenset()
    evidence: tuple[str, ...] = ()
    place: Place | None = None


class ThroughStep(Record, frozen=True):
    """Care after the heart, until the work has been brought through.

    days: after the heart, until it is first due. lasts: for how many days it goes on; None where it
    is done with once. times: how often it has to be done.
    """

    job: str
    says: str
    days: Days
    lasts: Days | None = None
    times: int = 1
    evidence: tuple[str, ...] = ()
    place: Place | None = None


class Cause(Record, frozen=True):
    """What made the damage that a programme mends, and by which facts it is known."""

    id: str
    title: str
    when: Condition


class Programme(Record, frozen=True):
    """aim: one sentence. grasses: those that it is for. when: it applies while this is true; with
    causes, while that of one of them is. anew: see `Anew`; None where it may begin at any time.
    asked_as: what keepers call it when they ask.
    """

    id: str
    title: str
    aim: str
    grasses: frozenset[str]
    when: Condition
    jobs: tuple[ProgrammeJob, ...]
    through: tuple[ThroughStep, ...] = ()
    causes: tuple[Cause, ...] = ()
    anew: Anew | None = None
    asked_as: tuple[str, ...] = ()
    evidence: Mapping[str, Evidence] = field(default_factory=dict)

    def jobs_for(
        self, grass: str, causes: frozenset[str] = frozenset()
    ) -> tuple[ProgrammeJob, ...]:
        """Its jobs on a grass, in order. causes: those that are known; empty: every job."""
        return tuple(
            job
            for job in self.jobs
            if (not job.grasses or grass in job.grasses)
            and (not causes or not job.causes or job.causes & causes)
        )

    @property
    def hearts(self) -> tuple[str, ...]:
        """The jobs that it is about."""
        return tuple(job.job for job in self.jobs if job.heart)
