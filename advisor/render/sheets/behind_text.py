"""`advisor behind` in words: what still fits into the day, what moves, when machines go back."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.amounts.amount import money
from advisor.answers.to_json import head_json
from advisor.answers.words import by_part, listed, sentence
from advisor.base.dates import say_date
from advisor.base.text import uncapped
from advisor.planning.behind import Behind
from advisor.planning.day_progress import Progress
from advisor.planning.on_day import OnDay, Piece
from advisor.planning.plan_words import only_after
from advisor.planning.put_off import PutOff
from advisor.planning.timetable import clock
from advisor.records.kept import WHOLE
from advisor.render.digest.render import fold
from advisor.render.sheets.on_day_lines import does, minds, put_off_lines, taken_as_done
from advisor.render.sheets.stop_text import put_off_json

FORMAT = 1


def behind_text(day: OnDay, found: Behind, progress: Progress, at: int | None) -> str:
    """at: up to which minute of the plan the work has come; None: not told."""
    lines = [fold(_first(day, found)), ""]
    named: set[str] = set()
    for piece in found.pieces:
        says = f"{does(day, piece)}{_shop_hour(piece)}"
        lines.append(
            fold(says[0].upper() + says[1:], f"  {clock(piece.start)}–{clock(piece.end)}  ")
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
    fits = _jobs(day, found.pieces)
    ends = max((piece.end for piece in found.pieces), default=found.now)
    if not found.pieces and not found.moves:
        return "Nothing of today's work is left."
    if found.over:
        return f"Finish only what is begun, until about {clock(ends)}: it goes past your hours."
    if not found.moves:
        return f"All that is left of today still fits, until about {clock(ends)}."
    moved = "; ".join(_moved(day, move) for move in found.moves)
    if not found.pieces:
        return sentence(f"Nothing more fits today: {moved}")
    still = f"{fits} still fits" if fits else "Only the machine goes back"
    return sentence(f"{still}, until about {clock(ends)}; {moved}")


def _moved(day: OnDay, move: PutOff) -> str:
    name = by_part([(uncapped(move.item.operation.title), move.item.part.label)], " ({})")
    if move.then is None:
        return f"{name} drops out"
    then = move.then.date
    return f"{name} moves to {then:%A} {say_date(then, relative_to=day.on)}"


def _jobs(day: OnDay, pieces: tuple[Piece, ...]) -> str:
    titles = day.case.book.operations
    jobs = dict.fromkeys(
        (titles[p.task.operation].title.lower(), "" if p.task.area == WHOLE else p.task.area)
        for p in pieces
        if p.task is not None
    )
    return by_part(jobs, " ({})") if jobs else ""


def _shop_hour(piece: Piece) -> str:
    """When one is at the shop; nothing on a way on which one has been there."""
    hour = _at_shop(piece)
    return f" (at the shop about {clock(hour)})" if hour and hour >= piece.start else ""


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
    machines = day.case.book.work.machines
    for job, gates in found.shut:
        title = day.case.book.operations[job.partition("/")[0]].title.lower()
        missing = listed(tuple(gate.rule.missing for gate in gates))
        yield sentence(f"Stop: no {title} today: {missing or 'it is shut out as things stand now'}")
    for id in found.over_night:
        yield sentence(
            f"Back: {machines[id].title}: it can go back no more today; lock it up over night and "
            f"ask the shop, which may charge more{_shop(day)}"
        )
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
                said = f"{day.case.book.work.machines[id].title}: block of hire ends {_hour(ends)}"
                said += ", if it was fetched as planned" if id in held else ""
                if back > ends and price:
                    more = price * -(-(back - ends) // length)
                    said += f"; back {_hour(back)} costs {money(more, day.case.site.money)} more"
                yield sentence(f"Back: {said}{_shop(day)}")


def _hour(minute: int) -> str:
    day, rest = divmod(minute, 24 * 60)
    return f"about {clock(rest)}{' tomorrow' if day else ''}"


def _shop(day: OnDay) -> str:
    if day.day.shop is None:
        return ""
    if not day.day.shop:
        return "; the shop is shut today"
    return f"; the shop closes at {clock(day.day.shop[-1][1])}"


def behind_json(day: OnDay, found: Behind) -> dict[str, Any]:
    """Dates are ISO, times local."""
    return {
        **head_json(day.advice, FORMAT),
        "now": clock(found.now),
        "over": found.over,
        "rest": [
            {"does": does(day, p), "start": clock(p.start), "end": clock(p.end)}
            for p in found.pieces
        ],
        "moves": [put_off_json(each) for each in found.moves],
        "over_night": list(found.over_night),
        "shut": [job for job, _ in found.shut],
        "as_kept": day.as_kept,
    }
