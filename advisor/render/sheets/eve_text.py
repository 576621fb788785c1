"""The evening before in one sentence, and for other programs."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from advisor.advice.book import Advice
from advisor.advice.gates import gate_json
from advisor.advice.item import Item
from advisor.amounts.amount import money
from advisor.answers.to_json import head_json
from advisor.answers.words import TENTHS, by_part, in_ten, sentence
from advisor.base.dates import clock, say_date
from advisor.base.text import uncapped
from advisor.planning.eve import Back, Call, Eve, Rest, Waits, next_settled
from advisor.planning.plan_words import gate_lines
from advisor.render.digest.render import fold, render
from advisor.render.sheets.workplan_pages import next_day_json

FORMAT = 1
_CALLS: dict[Call, str] = {"go": "Go", "half": "Half", "wait": "Wait"}
BLIND = "No forecast of that day is on record, so past years stand for it: look outside first."


def eve_text(advice: Advice, eve: Eve | None) -> str:
    """`Go. Saturday 5 Sep, 09:00 to 11:00: low mowing and thatch removal (front).`

    And below it what is still to be seen to before a step of it.
    """
    if eve is None:
        return fold(_nothing(advice)) + "\n"
    when = f"{eve.day:%A} {say_date(eve.day, relative_to=advice.on)}"
    if eve.hours is not None:
        when += ", {} to {}".format(*map(clock, eve.hours))
    said = [f"{_CALLS[eve.call]}."]
    if eve.doing:
        said.append(sentence(f"{when}: {_named(eve.doing)}"))
        said.append(sentence(eve.note) if eve.note else "")
        said += [_rest(rest, advice) for rest in eve.rest]
    said += [_not(group, "" if eve.doing else f"{when}: ", advice) for group in _alike(eve.waits)]
    said += [_back(back, advice) for back in eve.back]
    if not eve.forecast:
        said.append(BLIND)
    gates = gate_lines(eve.gates, advice.case, brief=True)
    return render("eve.txt", says=" ".join(filter(None, said)), gate_lines=gates)


def eve_json(advice: Advice, eve: Eve | None) -> dict[str, Any]:
    """Dates are ISO, times local."""
    settled = next_settled(advice)
    head = {**head_json(advice, FORMAT), "next": settled and settled.isoformat()}
    if eve is None:
        return {**head, "call": None}
    return {
        **head,
        "call": eve.call,
        "from": eve.hours and clock(eve.hours[0]),
        "to": eve.hours and clock(eve.hours[1]),
        "doing": [{"job": job, "part": part} for job, part in (i.key for i in eve.doing)],
        "waits": [
            {
                "job": each.item.key[0],
                "part": each.item.key[1],
                "why": each.why,
                "next_day": each.then and next_day_json(each.then),
            }
            for each in eve.waits
        ],
        "gates": [gate_json(gate) for gate in eve.gates],
        "rest": [
            {"job": job, "part": part, "date": rest.day.isoformat()}
            for rest in eve.rest
            for job, part in [rest.item.key]
        ],
        "hired": [
            {
                "machine": back.title,
                "price": back.price or None,
                "cancel_by": back.until and f"{back.until:%H:%M}",
                "needed": not back.idle,
            }
            for back in eve.back
        ],
        "note": eve.note,
        "forecast": eve.forecast,
    }


def _nothing(advice: Advice) -> str:
    if next_settled(advice) is not None:
        return f"Nothing is settled for tomorrow; {uncapped(settled_next(advice))}"
    return f"Nothing is settled for tomorrow, or any later day. {settled_next(advice)}"


def settled_next(advice: Advice) -> str:
    """The next day of work, or how to come to one, as a sentence."""
    day = next_settled(advice)
    if day is not None:
        when = f"{day:%A} {say_date(day, relative_to=advice.on)}"
        return f"The next day of work is {when}."
    how = advice.case.command("weekends")
    return f"'{how}' says which free days suit."


def _alike(waits: Iterable[Waits]) -> list[list[Waits]]:
    """What waits for the same, with the same next day, together."""
    found: dict[tuple[str, object], list[Waits]] = {}
    for each in waits:
        found.setdefault((each.why, each.then), []).append(each)
    return list(found.values())


def _not(group: list[Waits], lead: str, advice: Advice) -> str:
    named = re.sub(r"\ban? ", "", _named(each.item for each in group))
    said = f"{lead}no {named}: {group[0].why}"
    then = group[0].then
    if then is not None:
        day = f"{then.date:%A} {say_date(then.date, relative_to=advice.on)}"
        said += f"; the next free day for it is {day} ({in_ten(round(then.chance * TENTHS))} fit)"
    return sentence(said)


def _rest(rest: Rest, advice: Advice) -> str:
    day = f"{rest.day:%A} {say_date(rest.day, relative_to=advice.on)}"
    return sentence(f"the rest of {_named([rest.item])}: {day}")


def _back(back: Back, advice: Advice) -> str:
    """Until when a hire is given back: where it is known, and where it has to be asked."""
    price = f" ({money(back.price, advice.case.site.money)})" if back.price else ""
    hire = f"the hire of the {back.title}{price}"
    if back.until is not None:
        return sentence(f"the shop gives {hire} back until {back.until:%H:%M} today")
    return sentence(f"ask the shop until when it gives {hire} back") if back.idle else ""


def _named(items: Iterable[Item]) -> str:
    """`low mowing and thatch removal (front)`: titles by area."""
    return by_part(((i.operation.title.lower(), i.part.label) for i in items), " ({})")
