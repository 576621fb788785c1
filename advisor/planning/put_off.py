"""What of the day's work waits for another day: until when, for which day, and at what price."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from advisor.advice.book import Advice
from advisor.advice.item import Item
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record, replace
from advisor.cases.case import NOTHING_KEPT
from advisor.planning.day_progress import Progress
from advisor.planning.eve import is_of
from advisor.planning.fit_days import Fits
from advisor.planning.next_day import NextDay, next_day
from advisor.planning.on_day import OnDay
from advisor.planning.programme import standings
from advisor.planning.stop import Part


class PutOff(Record, frozen=True):
    """A job, or what is left of it.

    minutes: by the clock, the ways for its machines among them. due: the last day for it, of its
    item or of the order of the whole, whichever is sooner; None where nothing tells. then: its next
    free day. follows: jobs of the kept plan that come after it on later days. again: machines that
    were here and have to be hired once more, with the price of a block (0: not known).
    """

    item: Item
    minutes: float
    due: dt.date | None
    then: NextDay | None
    follows: tuple[Item, ...]
    again: tuple[tuple[str, float], ...]


def put_off(day: OnDay, parts: Sequence[Part], progress: Progress) -> tuple[PutOff, ...]:
    """Job by job, in the order of the plan. A way to the shop goes with the first job that takes
    its machine."""
    tasks = [part.piece.task for part in parts if part.piece.task is not None]
    jobs = dict.fromkeys(((task.operation, task.area) for task in tasks), 0.0)
    here, stays = _fetched(day, progress), set[str]()
    for part in parts:
        task, errand = part.piece.task, part.piece.errand
        if errand is not None and errand.kind == "return" and here & {*errand.machines}:
            # It goes back by itself, whatever becomes of the work.
            stays |= {*errand.machines}
        elif errand is not None:
            task = next((t for t in tasks if t.machine in errand.machines), None)
        if task is not None:
            jobs[task.operation, task.area] += part.minutes
    # As if nothing had been settled for today.
    advice, fits = Advice(replace(day.case, kept=NOTHING_KEPT)), Fits()
    found = []
    for job, minutes in jobs.items():
        item = next((i for i in advice.items() if is_of(i, [job])), day.items[job])
        used = {
            t.machine for t in tasks if (t.operation, t.area) == job and t.machine in here - stays
        }
        found.append(
            PutOff(
                item=item,
                minutes=minutes,
                due=_due(advice, item),
                then=next_day(advice.gates, fits, [item], day.on + ONE_DAY),
                follows=_follows(day, job),
                again=tuple((id, day.crew.blocks[id][1]) for id in sorted(filter(None, used))),
            )
        )
    return tuple(found)


def _fetched(day: OnDay, progress: Progress) -> frozenset[str]:
    """The machines for which one has been to the shop."""
    ways = (p.errand for p in day.pieces if p.id in progress.begun and p.errand is not None)
    return frozenset(id for way in ways if way.kind == "fetch" for id in way.machines)


def _due(advice: Advice, item: Item) -> dt.date | None:
    days = [item.date.day] if item.date is not None and item.date.kind == "deadline" else []
    for standing in standings(advice, item.part):
        days += [s.last for s in standing.steps if s.job == item.operation.id and s.open and s.last]
    return min(days, default=None)


def _follows(day: OnDay, job: tuple[str, str]) -> tuple[Item, ...]:
    """The jobs that are settled for later days on the same ground and come after it."""
    before = day.case.book.all_before
    later = [work for each in day.kept.days if each.date > day.on for work in each.work]
    behind = [(id, area) for id, area in later if job[0] in before[id] and area == job[1]]
    items = day.advice.items()
    return tuple(item for work in dict.fromkeys(behind) for item in items if is_of(item, [work]))
