"""On which days of a plan a job has to rest: no hour is given that an answer withholds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from advisor.advice.gates import Gate, Gates
from advisor.advice.item import Item
from advisor.decide.verdicts.forward import clears
from advisor.planning.fit_days import Fits, day_slice

EVEN = 0.5
"""A day counts that is as likely fit as not."""


def barred_by_gates(gates: Gates, item: Item, dates: Sequence[dt.date]) -> frozenset[dt.date]:
    """The days for which a gate of the job can no longer be had in time."""
    return frozenset(d for d in dates if gates.bars(item.operation, item.part.label, d))


def late_gates(gates: Gates, item: Item, dates: Sequence[dt.date]) -> tuple[Gate, ...]:
    """The late gates of a job that they leave no day; empty if one is left."""
    if len(barred_by_gates(gates, item, dates)) < len(dates):
        return ()
    found = gates.of(item.operation, item.part.label, dates[-1])
    return tuple(gate for gate in found if gate.state == "late")


def in_season_on(fits: Fits, item: Item, dates: Sequence[dt.date]) -> frozenset[dt.date] | None:
    """The days on each of which the job is as likely in season as not; None: nobody can tell."""
    facts, fit = item.part.decider.day.weather, fits.of(item)
    if facts is None or fit is None:
        return None
    days = [day_slice(facts, date, date) for date in dates]
    chances = [fit.chance_in_season(day) if day is not None else None for day in days]
    if None in chances:
        return None
    pairs = zip(dates, chances, strict=True)
    return frozenset(date for date, chance in pairs if chance is not None and chance >= EVEN)


def barred_by_verdict(item: Item, dates: Sequence[dt.date]) -> frozenset[dt.date]:
    """The days before what forbids the job now has ended, or it can be expected to be ready.

    All of them where a label or a law may apply and nobody knows, or no day of the season helps,
    such as where nobody can water the seed.
    """
    decision, truths = item.decision, item.decision.judgement.truths
    first: dt.date | None = dates[0]
    if truths["conflict"] is None:
        first = None
    elif decision.conflicts:
        first = decision.ends.day if decision.ends is not None else None
    if first is not None and truths["ready"] is False:
        decider = item.part.decider
        found = clears(decision.operation.ready, decider.day, decider.book.vocabulary)
        first = max(first, found.free) if found.free is not None else None
    return frozenset(d for d in dates if first is None or d < first)
