"""`advisor behind` in words: what still fits into the day, what moves, when machines go back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.amounts.amount import money
from advisor.answers.to_json import head_json
from advisor.answers.words import by_part, listed, sentence
from advisor.base.dates import clock, say_date
from advisor.base.text import uncapped
from advisor.planning.behind import Behind
from advisor.planning.day_progress import Progress
from advisor.planning.on_day import OnDay, Piece
from advisor.planning.plan_words import only_after
from advisor.planning.put_off import PutOff
from advisor.records.kept import WHOLE
from advisor.render.digest.render import fold
from advisor.render.sheets.on_day_lines import (
    does,
    hour,
    minds,
    over_night,
    put_off_lines,
    shop_hours,
    taken_as_done,
)
from advisor.render.sheets.stop_text import put_off_json

FORMAT = 1
DAY = 24 * 60


def behind_text(day: OnDay, found: Behind, progress: Progress, at: int | None) -> str:
    """at: up to which minute of the plan the work has come; None: not told."""
    lines = [fold(_first(day, found)), ""]
    named: set[str] = set()
    for piece in found.pieces:
        says = f"{does(day, piece)}{_shop_hour(piece)}"
        lines.append(
            fold(
                says[0].upper() + says[1:],
                f"  {clock(piece.start % DAY)}–{clock(piece.end % DAY)}  ",
            )
        )
        if gates := _gates_of(day, found, piece):
            lines.append(fold(sentence(f"Only after: {gates}"), " " * 15))
        new = [mind for mind in minds(day, [piece]) if mind not in named]
        named |= {*new}
        if new:
            lines.append(fold(f"Mind: {' '.join(new)}", " " * 15))
    lines += [""] if found.pieces else []
    lines += [fold(line, "  ") for line in _below(day, found, progress, at)]
    return "\n".join(lines).rstrip() + "\n"


def _first(day: OnDay, found: Behind) -> str:
    torn = {_key(move) for move in found.moves}
    fits = _jobs(day, found.pieces, torn)
    ends = max((piece.end for piece in found.pieces), default=found.now)
    if not found.pieces and not found.moves:
        return "Nothing of today's work is left."
    if found.over:
        return f"Finish only what is begun, until about {hour(ends)}: it goes past your hours."
    if not found.moves:
        return f"All that is left of today still fits, until about {hour(ends)}."
    here = {(p.task.operation, p.task.area) for p in found.pieces if p.task is not None}
    moved = "; ".join(_moved(day, move, begun=_key(move) in here) for move in found.moves)
    if not found.pieces:
        return sentence(f"Nothing more fits today: {moved}")
    still = f"{fits} still fits" if fits else "Only the machine goes back"
    return sentence(f"{still}, until about {hour(ends)}; {moved}")


def _moved(day: OnDay, move: PutOff, *, begun: bool) -> str:
    name = by_part([(uncapped(move.item.operation.title), move.item.part.label)], " ({})")
    if begun:
        name = f"the rest of {name}"
    if move.then is None:
        return f"{name} drops out"
    then = move.then.date
    return f"{name} moves to {then:%A} {say_date(then, relative_to=day.on)}"


def _key(move: PutOff) -> tuple[str, str]:
    return move.item.operation.id, move.item.part.name


def _jobs(day: OnDay, pieces: tuple[Piece, ...], torn: set[tuple[str, str]]) -> str:
    """The jobs of some pieces; the steps of those of which the rest moves."""
    titles = day.case.book.operations
    tasks = [(p, p.task) for p in pieces if p.task is not None]
    jobs = dict.fromkeys(
        (titles[t.operation].title.lower(), "" if t.area == WHOLE else t.area)
        for _, t in tasks
        if (t.operation, t.area) not in torn
    )
    steps = [does(day, p) for p, t in tasks if (t.operation, t.area) in torn]
    return listed((*filter(None, [by_part(jobs, " ({})") if jobs else ""]), *steps))


def _shop_hour(piece: Piece) -> str:
    """When one is at the shop; nothing on a way on which one has been there."""
    there = _at_shop(piece)
    return f" (at the shop about {hour(there)})" if there and there >= piece.start else ""


def _at_shop(piece: Piece) -> int:
    errand = piece.errand
    return errand.at_shop + (piece.end - errand.end) if errand is not None else 0


def _gates_of(day: OnDay, found: Behind, piece: Piece) -> str:
    task = piece.task
    if task is None:
        return ""
    step = next(s for s in day.case.book.work.steps[task.operation] if s.title == task.title)
    mine = [
        gate
        for gate in found.gates
        if step.breaks_soil and (gate.operation, gate.area or WHOLE) == (task.operation, task.area)
    ]
    return only_after(mine, day.on)


def _below(day: OnDay, found: Behind, progress: Progress, at: int | None) -> Iterator[str]:
    for line in put_off_lines(day, found.moves):
        yield f"Moves: {line}"
    for job, gates in found.shut:
        title = day.case.book.operations[job.partition("/")[0]].title.lower()
        missing = listed(tuple(gate.rule.missing for gate in gates))
        yield sentence(f"Stop: no {title} today: {missing or 'it is shut out as things stand now'}")
    if found.over_night:
        yield over_night(day, found.over_night)
    yield from _back(day, found)
    done = [piece for piece in day.pieces if progress.done[piece.id] >= 1]
    yield taken_as_done(day, done, at)


def _back(day: OnDay, found: Behind) -> Iterator[str]:
    """Until when each machine has to be back, and what it costs if it is later."""
    held = dict(found.held)
    since = dict(held)
    for piece in found.pieces:
        if piece.errand is None:
            continue
        for id in piece.errand.machines:
            if piece.errand.kind == "fetch":
                since.setdefault(id, _at_shop(piece))
            elif id in since:
                length, price = day.crew.blocks[id]
                ends, back = round(since[id] + length), _at_shop(piece)
                title = day.case.book.work.machines[id].title
                said = f"{title}: block of hire ends about {hour(ends)}"
                said += ", if it was fetched as planned" if id in held else ""
                if back > ends and price:
                    more = price * -(-(back - ends) // length)
                    said += (
                        f"; back about {hour(back)} costs {money(more, day.case.site.money)} more"
                    )
                yield sentence(f"Back: {said}{shop_hours(day)}")


def behind_json(day: OnDay, found: Behind) -> dict[str, Any]:
    """Dates are ISO, times local."""
    return {
        **head_json(day.advice, FORMAT),
        "now": clock(found.now),
        "over": found.over,
        "rest": [
            {"does": does(day, p), "start": clock(p.start % DAY), "end": clock(p.end % DAY)}
            for p in found.pieces
        ],
        "moves": [put_off_json(each) for each in found.moves],
        "over_night": list(found.over_night),
        "shut": [job for job, _ in found.shut],
        "as_kept": day.as_kept,
    }
