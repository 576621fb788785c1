"""`advisor stop` in words: one line that answers, then what is left and when."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.advice.book import Advice
from advisor.amounts.amount import say_time
from advisor.answers.to_json import head_json
from advisor.answers.words import sentence
from advisor.base.dates import clock
from advisor.planning.day_progress import Progress
from advisor.planning.eve import next_settled
from advisor.planning.on_day import OnDay
from advisor.planning.put_off import PutOff, put_off
from advisor.planning.stop import Stop, stopping_points
from advisor.planning.timetable import Errand
from advisor.render.digest.render import fold
from advisor.render.sheets.eve_text import settled_next
from advisor.render.sheets.on_day_lines import (
    does,
    hour,
    minds,
    over_night,
    put_off_lines,
    taken_as_done,
    timed,
)

FORMAT = 1


def stop_text(day: OnDay, stop: Stop, progress: Progress, at: int | None, now: int | None) -> str:
    """at: up to which minute of the plan the work has come; now: by the clock; None: not told."""
    lines = [fold(_first(day, stop, progress, at, now)), ""]
    lines += [fold(line, "  ") for line in _below(day, stop, progress, at)]
    return "\n".join(lines).rstrip() + "\n"


def nothing_today(advice: Advice) -> str:
    """In place of an answer where nothing is settled for today."""
    return fold(
        f"Nothing is settled for today, so there is no plan to go by. {settled_next(advice)}"
    )


def nothing_json(advice: Advice) -> dict[str, Any]:
    """The same for other programs."""
    day = next_settled(advice)
    return {**head_json(advice, FORMAT), "now": None, "next": day and day.isoformat()}


def _first(day: OnDay, stop: Stop, progress: Progress, at: int | None, now: int | None) -> str:
    if not day.pieces:
        return "Yes, you can stop here: nothing of today's plan has an hour any more."
    if not stop.now:
        # Whether it went back is not noted, and only the hour tells.
        unsure = " (if it is not back yet)" if at is None else ""
        first = ", then ".join(
            timed(day, part) + (unsure if part.piece.errand else "") for part in stop.owed
        )
        count = "this" if len(stop.owed) == 1 else f"these {len(stop.owed)}"
        ends = f", until about {hour(now + stop.until)}" if now is not None else ""
        return sentence(f"Not yet: finish {count} first, {say_time(stop.until)}{ends}: {first}")
    if not stop.waits:
        return "Yes: all of today's work is done."
    if at is None and not progress.begun:
        points = stopping_points(day.pieces, day.case.book.work)
        return f"Yes, while nothing is begun. Later only {_points(day, points)}"
    return "Yes, you can stop here: nothing that is begun comes to harm."


def _points(day: OnDay, points: tuple[int, ...]) -> str:
    by_end = {piece.end: piece for piece in day.pieces}
    said = (f"after '{does(day, by_end[p])}', about {clock(p)}" for p in points)
    return "; ".join(said) + "."


def _below(day: OnDay, stop: Stop, progress: Progress, at: int | None) -> Iterator[str]:
    if stop.owed:
        reasons = dict.fromkeys(part.why for part in stop.owed)
        yield sentence(f"Why: {'; '.join(reasons)}")
        if mind := tuple(minds(day, (part.piece for part in stop.owed))):
            yield f"Mind: {' '.join(mind)}"
    for line in put_off_lines(day, put_off(day, stop.waits, progress)):
        yield f"Waits: {line}"
    for part in stop.waits:
        errand = part.piece.errand
        if errand is not None and errand.kind == "return" and _is_here(progress, errand, day):
            yield over_night(day, errand.machines)
    yield from _as_it_stands(day, stop, progress)
    if at is None:
        yield "Say how late it is, such as --at 11:30, for the answer of that hour."
    done = [piece for piece in day.pieces if progress.done[piece.id] >= 1]
    yield taken_as_done(day, done, at)


def _is_here(progress: Progress, errand: Errand, day: OnDay) -> bool:
    begun = (p.errand for p in day.pieces if p.errand is not None and p.id in progress.begun)
    return any(way.kind == "fetch" and {*way.machines} & {*errand.machines} for way in begun)


def _as_it_stands(day: OnDay, stop: Stop, progress: Progress) -> Iterator[str]:
    """What the rule file says of each job if the work stops where it stands."""
    if not stop.now:
        return
    last: dict[tuple[str, str], str] = {}
    for piece in day.pieces:
        if piece.task is not None and piece.id in progress.begun:
            steps = day.case.book.work.steps[piece.task.operation]
            step = next(s for s in steps if s.title == piece.task.title)
            last[piece.task.operation, piece.task.area] = step.stop
    for (operation, _), says in last.items():
        yield f"{day.case.book.operations[operation].title}: {says}"


def stop_json(day: OnDay, stop: Stop, progress: Progress, at: int | None) -> dict[str, Any]:
    """Dates are ISO, times local, minutes by the clock."""
    return {
        **head_json(day.advice, FORMAT),
        "at": None if at is None else clock(at),
        "now": stop.now,
        "minutes": round(stop.until),
        "owed": [
            {"does": does(day, p.piece), "minutes": round(p.minutes), "why": p.why}
            for p in stop.owed
        ],
        "waits": [put_off_json(each) for each in put_off(day, stop.waits, progress)],
        "as_kept": day.as_kept,
    }


def put_off_json(each: PutOff) -> dict[str, Any]:
    """A job that waits."""
    return {
        "job": each.item.key[0],
        "part": each.item.key[1],
        "minutes": round(each.minutes),
        "due": each.due and each.due.isoformat(),
        "next_day": each.then and each.then.date.isoformat(),
        "hired_again": [id for id, _ in each.again],
    }
