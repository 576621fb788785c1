"""The pieces of a day of work in words, as a keeper reads them while at work."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from advisor.amounts.amount import money, say_time
from advisor.answers.words import TENTHS, by_part, in_ten, listed, sentence
from advisor.base.dates import clock, say_date
from advisor.base.text import uncapped
from advisor.planning.on_day import OnDay, Piece
from advisor.planning.put_off import PutOff
from advisor.planning.stop import Part
from advisor.records.kept import WHOLE
from advisor.render.sheets.workplan_view import LOADING


def does(day: OnDay, piece: Piece) -> str:
    """`rake the seed in (front)`, `clean, load and return the core aerator`."""
    if piece.errand is not None:
        machines = day.case.book.work.machines
        named = listed(tuple(machines[id].title for id in piece.errand.machines))
        fetch = piece.errand.kind == "fetch"
        return f"fetch and learn the {named}" if fetch else f"clean, load and return the {named}"
    assert piece.task is not None
    where = "" if piece.task.area == WHOLE else f" ({piece.task.area})"
    return f"{uncapped(piece.task.title)}{where}"


def timed(day: OnDay, part: Part) -> str:
    """With its minutes: `rake the seed in (front), 1 h 20 min`."""
    return f"{does(day, part.piece)}, {say_time(part.minutes)}"


def minds(day: OnDay, pieces: Iterable[Piece]) -> Iterator[str]:
    """The usual cautions of some pieces, each once."""
    book, named = day.case.book, set[str]()
    for piece in pieces:
        if piece.errand is not None:
            if any(book.work.machines[id].second for id in piece.errand.machines):
                if LOADING not in named:
                    yield LOADING
                named.add(LOADING)
        elif piece.task is not None:
            for id in book.operations[piece.task.operation].safety:
                if id not in named:
                    yield book.cautions[id].short
                named.add(id)


def put_off_lines(day: OnDay, waits: Sequence[PutOff]) -> Iterator[str]:
    """What waits, until when, for which day, and what that costs."""
    for each in waits:
        title = by_part([(each.item.operation.title, each.item.part.label)], " ({})")
        said = f"{title}, {say_time(each.minutes)}"
        if each.due is not None:
            said += f": by {say_date(each.due, relative_to=day.on)}"
        if each.then is None:
            said += "; no later free day of this season has even odds"
        else:
            when = f"{each.then.date:%A} {say_date(each.then.date, relative_to=day.on)}"
            said += f"; next free day {when} ({in_ten(round(each.then.chance * TENTHS))} fit)"
        if each.follows:
            names = by_part(
                ((i.operation.title.lower(), i.part.label) for i in each.follows), " ({})"
            )
            said += f"; {names} must come after it"
        yield sentence(said) + _again(day, each)


def _again(day: OnDay, each: PutOff) -> str:
    """What is paid once more for a machine that was here."""
    said = ""
    for id, price in each.again:
        title = day.case.book.work.machines[id].title
        cost = f": {money(price, day.case.site.money)}" if price else ""
        said += " " + sentence(f"the {title} has to be hired again{cost}")
    return said


def hour(minute: float) -> str:
    """`13:05`, `00:20 tomorrow`."""
    day, rest = divmod(round(minute), 24 * 60)
    return f"{clock(rest)}{' tomorrow' if day else ''}"


def over_night(day: OnDay, machines: Iterable[str]) -> str:
    """What becomes of machines that can go back no more today."""
    named = listed(tuple(day.case.book.work.machines[id].title for id in machines))
    return sentence(
        f"Back: {named}: no way back today any more; lock it up over night and ask the shop, "
        f"which may charge more{shop_hours(day)}"
    )


def shop_hours(day: OnDay) -> str:
    """When the shop closes, as the end of a sentence; empty where nobody has said."""
    if day.day.shop is None:
        return ""
    if not day.day.shop:
        return "; the shop is shut today"
    return f"; the shop closes at {clock(day.day.shop[-1][1])}"


def taken_as_done(day: OnDay, done: Sequence[Piece], at: int | None) -> str:
    """What the answer rests on."""
    names = "; ".join(does(day, piece) for piece in done) or "nothing"
    by = f"by the plan at {clock(at)}, and what you noted" if at is not None else "as you noted"
    anew = "" if day.as_kept else " The hours were made anew: what is known has changed."
    sky = f" {sentence(f'today: {day.day.note}')}" if day.day.note else ""
    return f"{sentence(f'Done {by}: {names}')}{anew}{sky}"
