"""Whether the day's work can be left where it stands: what is owed first, and what waits."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from advisor.base.record import Record
from advisor.planning.day_progress import Progress, by_clock
from advisor.planning.hands import Spans
from advisor.planning.on_day import Piece
from advisor.rulebook.effort import Step, Work


class Part(Record, frozen=True):
    """What is left of a piece of the day: minutes by the clock, its rests among them. why: what
    comes to harm if it is left, of a piece that is owed."""

    piece: Piece
    minutes: float
    why: str = ""


class Stop(Record, frozen=True):
    """owed: what has to be finished first, in the order of the plan. waits: what has not been
    begun, or may be broken off. done: minutes that lie behind. The three together are the plan.

    until: minutes in which what is owed can be done; what runs side by side counts once.
    """

    owed: tuple[Part, ...]
    waits: tuple[Part, ...]
    done: float

    @property
    def now(self) -> bool:
        """Whether nothing is owed."""
        return not self.owed

    @property
    def until(self) -> float:
        spans = sorted((p.piece.end - p.minutes, p.piece.end) for p in self.owed)
        total, busy = 0.0, 0.0
        for start, end in spans:
            total += max(0.0, end - max(start, busy))
            busy = max(busy, end)
        return total


def where_to_stop(
    pieces: Sequence[Piece], work: Work, progress: Progress, gone: Collection[str] = ()
) -> Stop:
    """What is owed follows from the steps' own rules (`whole` and `owes` in rules/work.yaml), and
    a hired machine that was fetched goes back. gone: ways back for which it is too late today."""
    why = {**_owed_steps(pieces, work, progress), **_owed_ways(pieces, work, progress)}
    why = {id: said for id, said in why.items() if id not in gone}
    left = [Part(p, m, why.get(p.id, "")) for p in pieces if (m := progress.left(p)) > 1e-6]
    return Stop(
        owed=tuple(part for part in left if part.piece.id in why),
        waits=tuple(part for part in left if part.piece.id not in why),
        done=sum((p.end - p.start) * progress.done[p.id] for p in pieces),
    )


def _owed_steps(pieces: Iterable[Piece], work: Work, progress: Progress) -> dict[str, str]:
    """The tasks that are owed, each with the reason of the step that was begun first."""
    jobs: dict[tuple[str, str], list[Piece]] = {}
    for piece in pieces:
        if piece.task is not None:
            jobs.setdefault((piece.task.operation, piece.task.area), []).append(piece)
    found: dict[str, str] = {}
    for (operation, _), mine in jobs.items():
        owed: dict[str, str] = {}
        steps = tuple(_in_order(work.steps[operation], mine))
        for step, piece in steps:
            if piece.id not in progress.begun and step.id not in owed:
                continue
            if step.whole:
                owed.setdefault(step.id, step.said)
            for id in step.owes:
                owed.setdefault(id, step.said)
        found |= {piece.id: owed[step.id] for step, piece in steps if step.id in owed}
    return found


def _in_order(steps: Iterable[Step], mine: Sequence[Piece]) -> Iterator[tuple[Step, Piece]]:
    """The steps of a job that lie in the day, each with its piece."""
    for step in steps:
        for piece in mine:
            if piece.task is not None and piece.task.title == step.title:
                yield step, piece


def _owed_ways(pieces: Iterable[Piece], work: Work, progress: Progress) -> Mapping[str, str]:
    """The ways back of machines that were fetched."""
    ways = [(piece, piece.errand) for piece in pieces if piece.errand is not None]
    here = {
        id for p, e in ways if e.kind == "fetch" and p.id in progress.begun for id in e.machines
    }
    return {p.id: work.hired_said for p, e in ways if e.kind == "return" and here & {*e.machines}}


def stopping_points(pieces: Sequence[Piece], work: Work) -> tuple[int, ...]:
    """The ends of pieces, minutes after midnight, at which nothing is owed by the plan's clock."""
    ends = sorted({piece.end for piece in pieces})
    return tuple(end for end in ends if where_to_stop(pieces, work, by_clock(pieces, end)).now)


def too_late_for_the_shop(
    pieces: Sequence[Piece], progress: Progress, now: int | None, shop: Spans | None
) -> frozenset[str]:
    """The ways back on which one would stand before a closed shop, if one left now."""
    if now is None or shop is None:
        return frozenset()
    found = []
    for piece in pieces:
        if piece.errand is not None and piece.errand.kind == "return":
            there = now + max(0.0, piece.errand.at_shop - (piece.end - progress.left(piece)))
            been = piece.end - progress.left(piece) >= piece.errand.at_shop
            if not been and not any(there <= closes for _, closes in shop):
                found.append(piece.id)
    return frozenset(found)
