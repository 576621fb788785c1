"""What changed since the last kept digest, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from advisor.answers.answer import Answer
from advisor.answers.words import sentence
from advisor.base.dates import say_date

WORTH_SAYING_DAYS = 4
"""A season that moves by less than this is noise."""

_SAID = {
    "do": "to do",
    "wait": "still to come",
    "hold": "on hold",
    "not_needed": "not needed",
    "missed": "too late",
    "ruled_out": "ruled out",
    "measure": "waiting for a measurement",
}
_LISTS = ("do", "hold", "wait", "coming", "measure", "leave", "missed")


def changes(kept: Mapping[str, Any] | None, answers: Iterable[Answer]) -> tuple[str, ...]:
    """One sentence for each verdict or season that is no longer what the kept digest said."""
    if kept is None:
        return ()
    before = {
        (item["operation"], item["area"]): item for name in _LISTS for item in kept.get(name, ())
    }
    told: list[str] = []
    for answer in answers:
        old = before.get((answer.decision.operation.id, answer.area))
        if old is not None:
            told.extend(_changed(old, answer))
    return tuple(told)


def _changed(old: Mapping[str, Any], answer: Answer) -> Iterator[str]:
    title = answer.title + (f", {answer.area}" if answer.area else "")
    verdict = answer.decision.verdict
    if old["verdict"] != verdict:
        why = _why(old, answer)
        because = f": {why}" if why else ""
        yield sentence(f"{title}: was {_SAID[old['verdict']]}, now {_SAID[verdict]}{because}")
    elif verdict in ("wait", "do") and old.get("window") and answer.window is not None:
        which = "opens" if verdict == "wait" else "closes"
        new = getattr(answer.window, which).p50
        moved = (new - dt.date.fromisoformat(old["window"][which]["p50"])).days
        if abs(moved) >= WORTH_SAYING_DAYS and abs(moved) < 100:
            way = "later" if moved > 0 else "earlier"
            when = say_date(new, relative_to=answer.decision.on)
            yield sentence(f"{title}: the season {which} {abs(moved)} days {way}, about {when}")


def _why(old: Mapping[str, Any], answer: Answer) -> str:
    """The comparison that came out otherwise than before; the season's turn if none did."""
    before = {(r["gate"], r["fact"], r["limit"]): r["holds"] for r in old["reasons"]}
    turned = [
        r.says
        for r in answer.reasons
        if r.deciding and not r.about_knowing
        and before.get((r.gate, r.fact, r.limit), r.holds) != r.holds
    ]  # fmt: skip
    if turned:
        return turned[0]
    state = answer.decision.outlook.state
    if state == "open":
        return "the season has opened"
    if state == "over":
        return "the season is over"
    return answer.told[0].says if answer.told else ""
