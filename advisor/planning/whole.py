"""The work that is one piece: the job that the rest is for, and all that is done before it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from advisor.advice.book import Advice
from advisor.advice.free_days import FreeRun
from advisor.advice.item import Item
from advisor.planning.fit_days import Fits
from advisor.planning.rehearsal import Piece, Rehearsal, rehearse
from advisor.planning.work_days import HOURS_A_DAY

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


def rehearse_run(
    advice: Advice, whole: Sequence[Item], fits: Fits, run: FreeRun, later: Sequence[FreeRun]
) -> Rehearsal | None:
    """The whole on a run of free days, and what does not fit on those that come soon after it."""
    facts = advice.parts[0].decider.day.weather
    pieces = _pieces(advice, whole, fits)
    if facts is None or pieces is None:
        return None
    people = advice.case.site.people
    spare = [day for other in later for day in other.days if 0 < (day - run.last).days <= RAIN_DAYS]
    minutes = (people.number or 1) * (people.hours_per_day or HOURS_A_DAY) * 60
    return rehearse(pieces, run.days, spare, facts.axis.years, facts.axis.index, minutes)


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
                minutes=advice.minutes(item),
                after=frozenset(earlier),
                bars=partial(gates.bars, item.operation, item.part.label),
            )
        )
    return found


def piece_name(item: Item) -> str:
    """What a rehearsal calls a job on a part."""
    return f"{item.operation.id}/{item.part.name}"
