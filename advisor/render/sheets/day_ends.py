"""What stands below a day of a work plan: what if it rains, what if one is tired at noon."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from typing import Any

from advisor.answers.words import by_part, sentence
from advisor.base.dates import clock
from advisor.base.record import Record
from advisor.planning.day_progress import by_clock
from advisor.planning.on_day import pieces_of
from advisor.planning.rain_day import Job, without_day
from advisor.planning.stop import stopping_points, where_to_stop
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


class Tired(Record, frozen=True):
    """Who is tired at noon. stop: the last point before noon at which nothing is owed, minutes
    after midnight, or None; go_on: the first from noon on. why: what comes to harm between."""

    stop: int | None
    go_on: int
    why: tuple[str, ...]


def tired_at_noon(plan: WorkPlan, date: dt.date) -> Tired | None:
    """None for a day that does not go over noon."""
    pieces = pieces_of(plan.plan, plan.by_id, date)
    if not pieces or pieces[0].start >= NOON or max(p.end for p in pieces) <= NOON:
        return None
    stop = where_to_stop(pieces, plan.work, by_clock(pieces, NOON))
    if stop.now:
        return Tired(None, NOON, ())
    points = stopping_points(pieces, plan.work)
    return Tired(
        stop=max((point for point in points if point <= NOON), default=None),
        go_on=min(point for point in points if point >= NOON),
        why=tuple(dict.fromkeys(part.why for part in stop.owed)),
    )


def tired_json(plan: WorkPlan, date: dt.date) -> dict[str, Any] | None:
    """Times are local."""
    found = tired_at_noon(plan, date)
    if found is None:
        return None
    stop = None if found.stop is None else clock(found.stop)
    return {"stop": stop, "go_on": clock(found.go_on), "why": list(found.why)}


def _tired(plan: WorkPlan, date: dt.date) -> Iterator[str]:
    """`Tired at noon? Stop at 10:50 or go on until 12:35: seed that lies dry …`"""
    found = tired_at_noon(plan, date)
    if found is None:
        return
    if not found.why:
        yield "Tired at noon? You can stop then: what is begun comes to no harm."
        return
    ways = "" if found.stop is None else f"stop at {clock(found.stop)} or "
    ways += f"go on until {clock(found.go_on)}"
    reasons = "; ".join(found.why)
    yield f"Tired at noon? {sentence(f'{ways}: {reasons}')}"
