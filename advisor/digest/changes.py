"""What changed since the last kept digest, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import Any

from advisor.answers.answer import Answer
from advisor.answers.words import listed, sentence
from advisor.base.dates import say_date

WORTH_SAYING_DAYS = 4
"""A season that moves by less than this is noise."""
ANOTHER_SEASON_DAYS = 100
"""A date that moves by more is another season's."""

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


def changes(
    kept: Mapping[str, Any] | None, answers: Iterable[Answer], soil: str = ""
) -> tuple[str, ...]:
    """What is no longer as the kept digest said: verdicts with a reason, seasons with their days.

    Verdicts that changed alike are told in one sentence, with the first one's reason. soil: how
    warm it is against other years, told where it can be why a season moved. Routine changes from
    week to week, and nothing is said of it.
    """
    if kept is None:
        return ()
    before = {
        (item["operation"], item["area"]): item for name in _LISTS for item in kept.get(name, ())
    }
    turned: dict[tuple[str, str], list[tuple[Answer, str]]] = {}
    moved: dict[str, list[Answer]] = {}
    for answer in answers:
        old = before.get((answer.decision.operation.id, answer.area))
        if old is None or answer.decision.operation.routine:
            continue
        if old["verdict"] != answer.decision.verdict:
            key = (old["verdict"], answer.decision.verdict)
            turned.setdefault(key, []).append((answer, _why(old, answer)))
        elif shift := _shift(old, answer, soil):
            moved.setdefault(shift, []).append(answer)
    told = [
        sentence(
            f"{_named(a for a, _ in group)}: {_SAID[was]} before, now {_SAID[now]}{_because(group)}"
        )
        for (was, now), group in turned.items()
    ]
    return (*told, *(sentence(f"{_named(group)}: {shift}") for shift, group in moved.items()))


def _because(group: list[tuple[Answer, str]]) -> str:
    why = group[0][1]
    return f" ({why})" if why else ""


def _named(answers: Iterable[Answer]) -> str:
    """`core aeration and thatch removal, front`: titles by area."""
    by_area: dict[str, list[str]] = {}
    for answer in answers:
        by_area.setdefault(answer.area, []).append(answer.title.lower())
    parts = (
        listed(tuple(titles)) + (f", {area}" if area else "") for area, titles in by_area.items()
    )
    return "; ".join(parts)


def _shift(old: Mapping[str, Any], answer: Answer, soil: str) -> str:
    """`the season opens 5 days later, about 22 Aug`, or nothing worth saying."""
    which = {"wait": "opens", "do": "closes"}.get(answer.decision.verdict)
    if which is None or not old.get("window") or answer.window is None:
        return ""
    whole = answer.decision.outlook.whole
    if whole is not None and answer.window.opens != whole.opens:
        # It waits for what stands in its way, not for the season.
        return ""
    new: dt.date = getattr(answer.window, which).p50
    days = (new - dt.date.fromisoformat(old["window"][which]["p50"])).days
    if not WORTH_SAYING_DAYS <= abs(days) < ANOTHER_SEASON_DAYS:
        return ""
    way = "later" if days > 0 else "earlier"
    when = say_date(new, relative_to=answer.decision.on)
    # Warm soil delays what waits for cooling, and cold soil what waits for warming.
    cooling = answer.window.window.after.anchor in ("midsummer", "autumn_equinox")
    fits = ("warmer" if (days > 0) == cooling else "cooler") in soil
    why = f" ({soil})" if fits else ""
    return f"the season {which} {abs(days)} days {way}, about {when}{why}"


def _why(old: Mapping[str, Any], answer: Answer) -> str:
    """The comparison that turned since then and bears on the new verdict, or else decides it."""
    verdict = answer.decision.verdict
    if verdict == "measure":
        return answer.measure[0].title if answer.measure else ""
    before = {(r["gate"], r["fact"], r["limit"]): r["holds"] for r in old["reasons"]}
    bearing = [
        r
        for gate in _BEARING[verdict]
        for r in answer.reasons
        if r.gate == gate and r.deciding and not r.about_knowing and r.holds is not None
    ]
    for reason in bearing:
        if before.get((reason.gate, reason.fact, reason.limit), reason.holds) != reason.holds:
            return reason.says
    return answer.told[0].says if answer.told else ""


_BEARING: Mapping[str, tuple[str, ...]] = {
    "do": ("ready", "window", "conflict", "need"),
    "wait": ("need", "window"),
    "hold": ("conflict", "ready"),
    "not_needed": ("need",),
    "missed": ("window",),
    "ruled_out": ("conflict",),
}
"""Which gates can have brought a verdict about."""
