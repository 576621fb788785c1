"""The next free day that suits a job."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from advisor.advice.free_days import free_runs
from advisor.advice.gates import Gates
from advisor.advice.item import Item
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.cases.case import Case
from advisor.planning.fit_days import Fits, day_slice
from advisor.planning.withheld import EVEN

SALVAGE_DAYS = 42
"""How far ahead other free days are sought when a plan breaks."""


class NextDay(Record, frozen=True):
    """The next free day for an operation, and in which share of the years it is fit for it."""

    date: dt.date
    chance: float


def next_day(gates: Gates, fits: Fits, items: Sequence[Item], after: dt.date) -> NextDay | None:
    """The first free day from `after` on that no gate bars and that is as likely fit as not.

    items: one operation on each part of the lawn; the least likely of them counts.
    """
    facts = items[0].part.decider.day.weather
    if facts is None:
        return None
    found = [fits.of(item) for item in items]
    for date in _free_dates(gates.case, after):
        if any(gates.bars(item.operation, item.part.label, date) for item in items):
            continue
        days = day_slice(facts, date, date)
        chances = [fit.chance(days) if fit and days else None for fit in found]
        known = [chance for chance in chances if chance is not None]
        if len(known) == len(chances) and min(known) >= EVEN:
            return NextDay(date, min(known))
    return None


def _free_dates(case: Case, after: dt.date) -> Iterator[dt.date]:
    for run in free_runs(case.site, case.limits, after, after + SALVAGE_DAYS * ONE_DAY):
        yield from run.days
