"""One digest of one lawn in any form, with what changed since the last kept one, and why."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Literal

from advisor.advice.difference import Change, difference
from advisor.advice.item import Item
from advisor.answers.answer import Answer
from advisor.answers.words import by_part, sentence
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.cases.case import Case
from advisor.records.kept import Earlier, keep
from advisor.render.digest.render import digest_html, digest_text, head_words
from advisor.render.digest.view import Digest, digest_of, fitted
from advisor.render.digest.week import Week, compose_week
from advisor.render.digest.week_json import week_json

_SAID = {
    "do": "to do",
    "wait": "still to come",
    "hold": "on hold",
    "not_needed": "not needed",
    "missed": "too late",
    "ruled_out": "ruled out",
    "measure": "waiting for a measurement",
}


def changes(kept: Earlier | None, answers: Iterable[Answer], soil: str = "") -> tuple[str, ...]:
    """What is no longer as the kept digest said: verdicts with a reason, seasons with their days.

    Verdicts that changed alike are told in one sentence, with the first one's reason. soil: how
    warm it is against other years, told where it can be why a season moved.
    """
    if kept is None:
        return ()
    by_item = {answer.item.key: answer for answer in answers}
    turned: dict[tuple[str, str], list[Change]] = {}
    moved: dict[str, list[Item]] = {}
    for change in difference((a.item for a in by_item.values()), kept):
        if change.edge is None:
            turned.setdefault((change.before.verdict, change.item.verdict), []).append(change)
        else:
            moved.setdefault(_shift(change, soil), []).append(change.item)
    told = [
        sentence(
            f"{_named(c.item for c in group)}: {_SAID.get(was, was)} before, now {_SAID[now]}"
            f"{_because(group[0], by_item[group[0].item.key])}"
        )
        for (was, now), group in turned.items()
    ]
    return (*told, *(sentence(f"{_named(group)}: {shift}") for shift, group in moved.items()))


def _because(change: Change, answer: Answer) -> str:
    why = _why(change, answer)
    return f" ({why})" if why else ""


def _named(items: Iterable[Item]) -> str:
    """`core aeration and thatch removal, front`: titles by area."""
    return by_part(((i.operation.title.lower(), i.part.label) for i in items), ", {}")


def _shift(change: Change, soil: str) -> str:
    """`the season opens 5 days later, about 22 Aug`."""
    decision = change.item.decision
    current = decision.outlook.current
    assert current is not None
    assert change.edge is not None
    new: dt.date = getattr(current, change.edge).p50
    way = "later" if change.days > 0 else "earlier"
    when = say_date(new, relative_to=decision.on)
    # Warm soil delays what waits for cooling, and cold soil what waits for warming.
    cooling = current.window.after.anchor in ("midsummer", "autumn_equinox")
    fits = ("warmer" if (change.days > 0) == cooling else "cooler") in soil
    why = f" ({soil})" if fits else ""
    return f"the season {change.edge} {abs(change.days)} days {way}, about {when}{why}"


def _why(change: Change, answer: Answer) -> str:
    """The comparison that turned since then and bears on the new verdict, or else decides it."""
    verdict = change.item.verdict
    if verdict == "measure":
        return answer.measure[0].title if answer.measure else ""
    bearing = [
        r
        for gate in _BEARING[verdict]
        for r in answer.reasons
        if r.gate == gate and r.deciding and not r.about_knowing and r.holds is not None
    ]
    for reason in bearing:
        key = (reason.gate, reason.fact, reason.limit)
        if change.before.held.get(key, reason.holds) != reason.holds:
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


Form = Literal["text", "html", "json"]


class Edition(Record, frozen=True):
    """A composed week and what a reader sees of it."""

    week: Week
    digest: Digest


def compose_edition(case: Case) -> Edition:
    """Compose the week and compare it with the last kept digest of an earlier day."""
    week = compose_week(case)
    changed = changes(case.said, week.answers, week.soil)
    return Edition(week, fitted(digest_of(week, changed), head_words))


def show(edition: Edition, form: Form | str) -> str:
    """The digest as text, HTML or JSON."""
    if form == "json":
        data = week_json(edition.week, edition.digest.changed)
        return json.dumps(data, ensure_ascii=False, indent=2) + "\n"
    if form == "html":
        return digest_html(edition.digest)
    return digest_text(edition.digest)


def subject_of(edition: Edition) -> str:
    """The line that stands for the digest in a list of mails."""
    return f"{edition.digest.site}: {edition.digest.lead}"


def keep_edition(edition: Edition, folder: Path) -> None:
    """Keep the digest in a site's folder."""
    data = week_json(edition.week, edition.digest.changed)
    keep(folder, edition.week.first, data)
