"""The work that is one piece: the job that the rest is for, and all that is done before it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from functools import cache, partial

from advisor.advice.book import Advice
from advisor.advice.free_days import FreeRun
from advisor.advice.item import Item
from advisor.cases.case import Case
from advisor.planning.doors import bringing_back, fetching
from advisor.planning.fit_days import Fits
from advisor.planning.lawn_tasks import crew_of
from advisor.planning.rehearsal import Piece, Rehearsal, rehearse
from advisor.planning.work_days import work_days

RAIN_DAYS = 14
"""What the run does not hold is looked for on free days so soon after it (chosen)."""


def whole_of(advice: Advice) -> tuple[Item, ...]:
    """The jobs that belong together, on all parts that need them, in working order.

    Of the work that is known to be needed and waits for free days: the job that most of it comes
    before on its part, of equals the one that presses most, and what comes before it. Empty where
    fewer than two belong together.
    """
    book = advice.case.book
    items = [
        item
        for item in advice.taken_up()
        if item.sure and not item.goes_on and not item.barred and advice.minutes(item)
    ]

    def earlier(item: Item) -> int:
        before = book.all_before[item.operation.id]
        return sum(i.part is item.part and i.operation.id in before for i in items)

    most = max(map(earlier, items), default=0)
    if not most:
        return ()
    last = min((item for item in items if earlier(item) == most), key=Item.order)
    among = {last.operation.id, *book.all_before[last.operation.id]}
    found = (item for item in items if item.operation.id in among)
    return tuple(sorted(found, key=lambda item: book.working_rank[item.operation.id]))


class Rehearser:
    """Rehearses the whole of an advice on runs of free days."""

    def __init__(self, advice: Advice, fits: Fits) -> None:
        self.whole = whole_of(advice)
        self._facts = advice.parts[0].decider.day.weather
        self._pieces = _pieces(advice, self.whole, fits)
        self._minutes_on = cache(partial(_minutes_on, advice.case))

    def on(self, run: FreeRun, later: Sequence[FreeRun]) -> Rehearsal | None:
        """The whole on a run, and what does not fit on those that come soon after it."""
        if self._facts is None or self._pieces is None:
            return None
        axis = self._facts.axis
        spare = [
            day for other in later for day in other.days if 0 < (day - run.last).days <= RAIN_DAYS
        ]
        return rehearse(self._pieces, run.days, spare, axis.years, axis.index, self._minutes_on)


def _minutes_on(case: Case, date: dt.date) -> float:
    """What all people together can give to a day within the keeper's limits, whatever the weather:
    that is each year's own."""
    [day] = work_days(case.site, [date], None, limits=case.limits)
    crew = crew_of(case, case.limits)
    spans = [day.spans] * crew.people + [(helper,) for helper in day.helpers]
    there = (sum(end - start for start, end in each) for each in spans)
    return sum(min(day.most_minutes, minutes) for minutes in there) if day.fit else 0.0


def _door_to_door(case: Case, item: Item) -> int:
    """Minutes on the way with the machines that are hired for a job, each fetched by itself."""
    doors = crew_of(case, case.limits).doors
    machines = {step.machine for step in case.book.work.steps.get(item.operation.id, ())}
    hired = [door for id, door in doors.items() if id in machines]
    return sum(fetching([door]).minutes + bringing_back([door]).minutes for door in hired)


def _pieces(advice: Advice, whole: Sequence[Item], fits: Fits) -> list[Piece] | None:
    gates, before = advice.gates, advice.case.book.all_before
    found = []
    for item in whole:
        fit = fits.of(item)
        if fit is None:
            return None
        earlier = {
            piece_name(other)
            for other in whole
            if other.part.name == item.part.name and other.operation.id in before[item.operation.id]
        }
        found.append(
            Piece(
                name=piece_name(item),
                fit=fit,
                minutes=advice.minutes(item) + _door_to_door(advice.case, item),
                after=frozenset(earlier),
                bars=partial(gates.bars, item.operation, item.part.label),
            )
        )
    return found


def piece_name(item: Item) -> str:
    """What a rehearsal calls a job on a part."""
    return f"{item.operation.id}/{item.part.name}"
