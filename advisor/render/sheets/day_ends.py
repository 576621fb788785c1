"""What stands below a day of a work plan: what if it rains, what if one is tired at noon."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.answers.words import by_part, sentence
from advisor.planning.day_progress import by_clock
from advisor.planning.on_day import pieces_of
from advisor.planning.rain_day import Job, without_day
from advisor.planning.stop import stopping_points, where_to_stop
from advisor.planning.timetable import clock
from advisor.planning.workplan import WorkPlan
from advisor.records.kept import WHOLE

NOON = 12 * 60


def day_ends(plan: WorkPlan, date: dt.date) -> Iterator[str]:
    """One line each, for a day that has work."""
    yield from _rain(plan, date)
    yield from _tired(plan, date)


def _rain(plan: WorkPlan, date: dt.date) -> Iterator[str]:
    """`Rain on Saturday? Low mowing (front) on Sunday; no room then for overseeding (front).`

    Nothing for the only day of a plan: its next days stand under "If it rains".
    """
    found = without_day(plan, date)
    if found is None:
        return
    said = [f"{_named(plan, jobs)} on {day:%A}" for day, jobs in found.moves]
    if found.lost:
        said.append(f"no room then for {_named(plan, found.lost)}")
    if said:
        yield f"Rain on {date:%A}? {sentence('; '.join(said))}"


def _named(plan: WorkPlan, jobs: Iterable[Job]) -> str:
    titles = plan.case.book.operations
    return by_part(
        ((titles[id].title.lower(), "" if area == WHOLE else area) for id, area in jobs), " ({})"
    )


def _tired(plan: WorkPlan, date: dt.date) -> Iterator[str]:
    """`Tired at noon? Stop at 10:50 or go on until 12:35: seed that lies dry …`; nothing for a day
    that does not go over noon."""
    pieces = pieces_of(plan.plan, plan.by_id, date)
    if not pieces or pieces[0].start >= NOON or max(p.end for p in pieces) <= NOON:
        return
    stop = where_to_stop(pieces, plan.work, by_clock(pieces, NOON))
    if stop.now:
        yield "Tired at noon? You can stop then: what is begun comes to no harm."
        return
    points = stopping_points(pieces, plan.work)
    before = [point for point in points if point <= NOON]
    after = clock(next(point for point in points if point >= NOON))
    ways = f"stop at {clock(before[-1])} or " if before else ""
    ways += f"go on until {after}"
    reasons = "; ".join(dict.fromkeys(part.why for part in stop.owed))
    yield f"Tired at noon? {sentence(f'{ways}: {reasons}')}"
