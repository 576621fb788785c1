"""How far the day's work has come, by the clock and by what was noted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.base.record import Record
from advisor.planning.eve import is_of
from advisor.planning.on_day import OnDay, Piece
from advisor.records.entry import Entry
from advisor.records.kept import is_on


class Progress(Record, frozen=True):
    """done: of each piece the share that is done, 0 to 1. begun: pieces that were taken up and may
    lie open; half of a job that was noted lies open nowhere, since it was brought to its end there.
    """

    done: Mapping[str, float]
    begun: frozenset[str]

    def left(self, piece: Piece) -> float:
        """Minutes that are still to do."""
        return (piece.end - piece.start) * (1 - self.done[piece.id])


def progress_of(day: OnDay, at: int | None) -> Progress:
    """at: minutes after midnight up to which the plan was kept to; None: only what was noted
    counts.

    What was noted stands above the clock. Where work with a hired machine was noted the machine
    was fetched; it is back only where a later step of the same job is done too.
    """
    noted = {key: _noted(day, *key) for key in day.items}
    done: dict[str, float] = {}
    begun: set[str] = set()
    for piece in day.pieces:
        clock = _by_clock(piece, at)
        share = max(clock, noted[piece.task.operation, piece.task.area]) if piece.task else clock
        done[piece.id] = share
        if clock or share >= 1:
            begun.add(piece.id)
    for piece in day.pieces:
        if piece.errand is not None and done[piece.id] < 1 and _was_run(day, piece, noted):
            done[piece.id] = 1.0
            begun.add(piece.id)
    return Progress(done, frozenset(begun))


def by_clock(pieces: Iterable[Piece], at: int) -> Progress:
    """The same where the plan was kept to and nothing was noted."""
    done = {piece.id: _by_clock(piece, at) for piece in pieces}
    return Progress(done, frozenset(id for id, share in done.items() if share))


def _by_clock(piece: Piece, at: int | None) -> float:
    """On the way to the shop one may turn round, so until then nothing is begun."""
    errand = piece.errand
    first = errand.at_shop if errand and errand.kind == "fetch" else piece.start
    if at is None or at <= first:
        return 0.0
    return min(1.0, (at - piece.start) / (piece.end - piece.start))


def _was_run(day: OnDay, errand: Piece, noted: Mapping[tuple[str, str], float]) -> bool:
    """Whether what was noted shows that a way to the shop was made."""
    assert errand.errand is not None
    machines = errand.errand.machines
    tasks = [(p, p.task) for p in day.pieces if p.task is not None]
    used = {(t.operation, t.area) for _, t in tasks if t.machine in machines}
    if errand.errand.kind == "fetch":
        return any(noted[job] for job in used)
    after = {(t.operation, t.area) for p, t in tasks if p.start >= errand.end}
    return any(noted[job] >= 1 for job in used & after)


def _noted(day: OnDay, operation: str, area: str) -> float:
    """The share of a job that was noted as done today; all of it on earlier days counts where no
    day before today was planned for it."""
    kept, on = day.kept, day.on
    since = on
    if not any(is_of(day.items[operation, area], d.work) for d in kept.days if d.date < on):
        since = min(kept.made, on)
    item = day.items[operation, area]
    areas = item.part.areas or tuple(day.case.site.area_names)
    entries = day.case.journal.as_of(on).work(operation, since=since)
    sizes = {each.name: each.size or 1.0 for each in day.case.site.areas if each.name in areas}
    whole = sum(sizes.values()) or 1.0
    found = 0.0
    for entry in entries:
        covers = [sizes[a] for a in areas if not entry.area or is_on(a, (entry.area,))]
        found += _share(entry) * sum(covers) / whole
    return min(1.0, found)


def _share(entry: Entry) -> float:
    return float(entry.details.get("share", 1.0))


def hour_of(day: OnDay, progress: Progress) -> int:
    """The minute of the plan that the work has come to, by what is done; at first its start."""
    done = (piece.end for piece in day.pieces if progress.done[piece.id] >= 1)
    return max(done, default=min(piece.start for piece in day.pieces))
