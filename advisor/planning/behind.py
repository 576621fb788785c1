"""The rest of a day of work, planned again from the hour: what still fits, and what moves."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.advice.gates import Gate
from advisor.base.record import Record, replace
from advisor.base.units import whole_up
from advisor.planning.best_day import best_day
from advisor.planning.check_plan import plan_faults
from advisor.planning.day_progress import Progress
from advisor.planning.hands import STEP_MIN, Spans, common
from advisor.planning.make_plan import make_plan
from advisor.planning.on_day import OnDay, Piece, pieces_of
from advisor.planning.put_off import PutOff, put_off
from advisor.planning.stop import Part, where_to_stop
from advisor.planning.timetable import Crew, Plan, Task, WorkDay, errand_met_hours
from advisor.planning.withheld import late_gates

MIDNIGHT = 24 * 60
LAST = 2 * MIDNIGHT
"""What is owed is finished, if need be past midnight."""
OWED_WORTH = 1000.0
"""Worth of a step that is owed: more than all that is not begun together."""


class Behind(Record, frozen=True):
    """now: minutes after midnight from which the rest is planned. pieces: what fits, from then on.

    moves: what does not, job by job. held: machines that are here, with the minute at which one was
    at the shop for them, as far as the plan tells. over_night: those that can go back no more
    today. over: whether what is owed goes past the keeper's own hours. gates: of the steps that
    break the soil. shut: what may not be begun, with the gates that bar it.
    """

    now: int
    pieces: tuple[Piece, ...]
    moves: tuple[PutOff, ...]
    held: tuple[tuple[str, int], ...]
    over_night: tuple[str, ...]
    over: bool
    gates: tuple[Gate, ...]
    shut: tuple[tuple[str, tuple[Gate, ...]], ...]


def compose_behind(day: OnDay, progress: Progress, now: int) -> Behind:
    """The rest of the day from `now`, with the planner of every plan. What is owed comes before
    all else, then a machine that has to go back, then what was not begun."""
    busy = _on_the_way(day, progress)
    rest = _from(day, progress, whole_up((now + busy) / STEP_MIN) * STEP_MIN)
    stop = where_to_stop(day.pieces, day.case.book.work, progress)
    owed = {part.piece.id for part in stop.owed if part.piece.task is not None}
    shut = _shut(day, progress)
    barred = {job for job, _ in shut}
    every = [p.task for p in day.pieces if p.task is not None and progress.left(p) > 1e-6]
    tasks = [t for t in every if f"{t.operation}/{t.area}" not in barred or t.id in owed]
    left = tuple(_rest_of(task, progress, owed, {t.id for t in tasks}) for task in tasks)
    plan, over = _best(left, owed, rest, day.crew)
    done = {slot.task for slot in plan.slots}
    lost = [Part(p, progress.left(p)) for p in day.pieces if p.task in every and p.id not in done]
    returned = {id for errand in plan.errands for id in errand.machines}
    return Behind(
        now=now,
        pieces=(*_under_way(day, progress, now), *pieces_of(plan, {t.id: t for t in left}, day.on)),
        moves=put_off(day, (*lost, *_ways(day, lost)), progress),
        held=rest.held,
        over_night=tuple(id for id, _ in rest.held if id not in returned),
        over=over,
        gates=tuple(_gates(day, tasks, done)),
        shut=shut,
    )


def _best(tasks: Sequence[Task], owed: set[str], rest: WorkDay, crew: Crew) -> tuple[Plan, bool]:
    """The first of these ways by which all that is owed is done: as planned; with the machine kept
    over night; with what is owed alone, past the keeper's hours."""
    stays = {id for id, _ in rest.held}
    kept = replace(rest, held=())
    doors = {id: door for id, door in crew.doors.items() if id not in stays}
    longer = replace(
        rest, end=LAST, parts=None, errands=rest.errand_spans, most_minutes=1e6, most_met_hours=1e6
    )
    only = [replace(t, after=t.after & owed) for t in tasks if t.id in owed]
    if stays:
        # What is here goes back, whatever it costs.
        crew = replace(crew, most_hire=None)
    at_home = replace(crew, doors=doors)
    ways = [(tasks, rest, crew, False), (tasks, kept, at_home, False), (only, longer, crew, True)]
    ways.append((only, replace(longer, held=()), at_home, True))
    for todo, span, people, over in ways:
        if span.held and best_day([], span, people) is None:
            continue
        plan = make_plan(todo, [span], people)
        if owed & {*plan.dropped}:
            continue
        faults = plan_faults(plan, todo, [span], people)
        if faults:
            raise AssertionError(f"the plan breaks its own rules: {'; '.join(faults)}")
        return plan, over
    raise AssertionError("work that is owed finds no hour")


def _rest_of(task: Task, progress: Progress, owed: set[str], here: set[str]) -> Task:
    """What is left of a task. One that is owed is done whatever becomes of the others."""
    alike = {id for id in here if (id in owed) == (task.id in owed)}
    return replace(
        task,
        minutes=task.minutes * (1 - progress.done[task.id]),
        after=task.after & here,
        same_day=task.same_day & alike,
        whole_with=task.whole_with & alike,
        worth=OWED_WORTH if task.id in owed else task.worth,
        barred=frozenset(),
    )


def _from(day: OnDay, progress: Progress, start: int) -> WorkDay:
    """What is left of the day, of its hours as of the strength."""
    was, people = day.day, day.crew.people
    span = ((start, MIDNIGHT),)
    minutes = effort = 0.0
    for piece in day.pieces:
        share = progress.done[piece.id]
        if piece.task is not None:
            minutes += share * piece.task.minutes
            effort += share * piece.task.met * piece.task.minutes / 60
        elif piece.errand is not None:
            minutes += share * (piece.end - piece.start) * piece.errand.people
            effort += share * errand_met_hours(piece.errand)
    return replace(
        was,
        start=max(start, was.start),
        end=max(was.end, start),
        most_minutes=max(0.0, was.most_minutes - minutes / people),
        most_met_hours=max(0.0, was.most_met_hours - effort / people),
        parts=None if was.parts is None else common(was.parts, span),
        errands=None if was.errands is None else common(was.errands, span),
        helpers=_helpers(was.helpers, start),
        held=tuple(_held(day, progress)),
    )


def _helpers(spans: Spans, start: int) -> Spans:
    return tuple((max(first, start), last) for first, last in spans if last > start)


def _held(day: OnDay, progress: Progress) -> Iterable[tuple[str, int]]:
    """Machines that are here; one that is on its way back is not."""
    ways = [(p.id in progress.begun, p.errand) for p in day.pieces if p.errand is not None]
    gone = {id for begun, e in ways if begun and e.kind == "return" for id in e.machines}
    for begun, errand in ways:
        if begun and errand.kind == "fetch":
            yield from ((id, errand.at_shop) for id in errand.machines if id not in gone)


def _on_the_way(day: OnDay, progress: Progress) -> float:
    """Minutes until everybody is back from a way to the shop that is under way."""
    return max((progress.left(p) for p in _open_ways(day, progress)), default=0.0)


def _open_ways(day: OnDay, progress: Progress) -> list[Piece]:
    ways = (p for p in day.pieces if p.errand is not None and p.id in progress.begun)
    return [p for p in ways if progress.left(p) > 1e-6]


def _under_way(day: OnDay, progress: Progress, now: int) -> Iterable[Piece]:
    for piece in _open_ways(day, progress):
        yield replace(piece, start=now, end=round(now + progress.left(piece)))


def _shut(day: OnDay, progress: Progress) -> tuple[tuple[str, tuple[Gate, ...]], ...]:
    """The jobs that may not be begun today as things stand now, by `operation/area`."""
    found = []
    tasks = [p.task for p in day.pieces if p.task is not None]
    for (operation, area), item in day.items.items():
        mine = [t for t in tasks if (t.operation, t.area) == (operation, area)]
        if any(t.id in progress.begun for t in mine):
            continue
        gates = late_gates(day.advice.gates, item, [day.on])
        if gates or (day.on, operation, area) in day.advice.dropped:
            found.append((f"{operation}/{area}", gates))
    return tuple(found)


def _ways(day: OnDay, lost: Sequence[Part]) -> Iterable[Part]:
    """The ways for machines that only lost work takes: they will be made on its day."""
    gone = {part.piece.task.machine for part in lost if part.piece.task is not None}
    for piece in day.pieces:
        if piece.errand is not None and gone & {*piece.errand.machines}:
            yield Part(piece, piece.end - piece.start)


def _gates(day: OnDay, tasks: Sequence[Task], done: set[str]) -> Iterable[Gate]:
    """Of the steps that break the soil and have an hour."""
    for task in tasks:
        step = next(s for s in day.case.book.work.steps[task.operation] if s.title == task.title)
        if step.breaks_soil and task.id in done:
            item = day.items[task.operation, task.area]
            yield from day.advice.gates.of(item.operation, item.part.label, day.on)
