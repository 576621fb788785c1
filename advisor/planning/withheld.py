"""On which days of a plan a job has to rest, and why: no hour is given that an answer withholds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from advisor.answers.answer import build_answer
from advisor.cases.case import Case
from advisor.planning.gates import Gate, Gates
from advisor.planning.lawn_tasks import Wanted
from advisor.verdicts.forward import clears


def barred_by_gates(gates: Gates, job: Wanted, dates: Sequence[dt.date]) -> frozenset[dt.date]:
    """The days for which a gate of the job can no longer be had in time."""
    return frozenset(d for d in dates if gates.bars(job.operation, job.part.label, d))


def late_gates(gates: Gates, job: Wanted, dates: Sequence[dt.date]) -> tuple[Gate, ...]:
    """The late gates of a job that they leave no day; empty if one is left."""
    if len(barred_by_gates(gates, job, dates)) < len(dates):
        return ()
    found = gates.of(job.operation, job.part.label, dates[-1])
    return tuple(gate for gate in found if gate.state == "late")


def barred_by_verdict(job: Wanted, dates: Sequence[dt.date]) -> frozenset[dt.date]:
    """The days before what forbids the job now has ended, or it can be expected to be ready.

    All of them where a label or a law may apply and nobody knows, or no day of the season helps,
    such as where nobody can water the seed.
    """
    decision, truths = job.decision, job.decision.judgement.truths
    first: dt.date | None = dates[0]
    if truths["conflict"] is None:
        first = None
    elif decision.conflicts:
        first = decision.ends.day if decision.ends is not None else None
    if first is not None and truths["ready"] is False:
        day = job.part.decider.day
        found = clears(decision.operation.ready, day, job.part.decider.book.vocabulary)
        first = max(first, found.on) if found.on is not None else None
    return frozenset(d for d in dates if first is None or d < first)


def why_withheld(job: Wanted, case: Case) -> str:
    """What an answer says of a job that has no day, as the end of a line."""
    if job.decision.conflicts:
        return job.decision.conflicts[0].says
    said = build_answer(job.decision, case.book, case.site.unit_system).headline
    return said[0].lower() + said[1:]
