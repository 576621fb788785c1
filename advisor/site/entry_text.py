"""Short plain notes as records: `thatch 0.8 in`, `cored yesterday, 3 passes`, `fed 0.7 lb N`.

Modest on purpose: words are looked up in the tables given, and what is not understood is refused
rather than guessed. The note itself is always kept.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from typing import Protocol

from advisor.base.problems import BadInput, Place
from advisor.base.units import UnitError, parse_quantity
from advisor.site.date_words import take_date, take_time
from advisor.site.entry import FactRule, Kind, NewEntry
from advisor.site.note_values import find_quantity, first_number, take_work_details, with_figures
from advisor.site.note_words import Match, choice_in, find_subjects

_NOT = re.compile(r"\b(?:not|no|never|none|without|[a-z]+n['’]t|dont|didnt|isnt)\b")
_WISH = re.compile(r"\b(?:want|wish|plan|planning|intend|going to|would like|hope)\b")
_TOLD_AT_MOST = 10


class SpokenFact(FactRule, Protocol):
    """A fact with the phrases that keepers use for it."""

    @property
    def said_as(self) -> tuple[str, ...]: ...


@dataclass(frozen=True)
class Understood:
    """The record, and in one line how the note was understood."""

    entry: NewEntry
    says: str


def understand(
    text: str,
    facts: Mapping[str, SpokenFact],
    operations: Mapping[str, Collection[str]],
    today: dt.date,
    areas: Collection[str] = (),
) -> Understood:
    """A note as a record, to be checked like any other before it is written.

    operations: for each operation the phrases that keepers use for it. areas: the site's areas.
    A note without a date is of `today`. Raises `BadInput` with what is not understood, and what
    would be.
    """
    note = " ".join(text.split())
    try:
        day, rest = take_date(with_figures(note.lower()), today)
        time, rest = take_time(rest)
    except ValueError as error:
        raise _refused(str(error)) from None
    area, rest = _take_area(rest, areas)
    match = _subject(note, rest, facts, operations)
    if match.subject == "fact":
        kind: Kind = "observation"
        rule = facts[match.name]
        if rule.kind == "date":
            value, day = _date_value(rule, day), today
        else:
            value = _value(rule, rest)
    else:
        kind, value = _of_operation(match, rest)
    entry = NewEntry(day or today, kind, match.name, value, area, _note(note, time))
    return Understood(entry, _says(entry))


def _subject(
    note: str,
    rest: str,
    facts: Mapping[str, SpokenFact],
    operations: Mapping[str, Collection[str]],
) -> Match:
    spoken = {name: rule.said_as for name, rule in facts.items()}
    found = find_subjects(rest, spoken, operations)
    if len(found) == 1:
        return found[0]
    if found:
        names = " or ".join(f"'{match.name}'" for match in found)
        raise _refused(f"'{note}' may be about {names}; say it with more of the name")
    known = [
        f"{kind}: {_some(names)}"
        for kind, names in (("a reading", facts), ("work", operations))
        if names
    ]
    raise _refused(f"cannot tell what '{note}' is about; it can be {', or '.join(known)}")


def _value(rule: SpokenFact, rest: str) -> str:
    if rule.kind == "flag":
        return "no" if _NOT.search(rest) else "yes"
    if rule.kind == "choice":
        choice = choice_in(rest, rule.choices)
        denied = _NOT.search(rest)
        if denied and "none" in rule.choices and choice in (None, "none"):
            return "none"
        if choice is None or denied:
            wanted = ", ".join(rule.choices)
            raise _refused(f"'{rule.name}' is not clear; say which it is: {wanted}")
        return choice
    found = find_quantity(rest, rule.unit)
    if found:
        return found[0]
    number = first_number(rest)
    if number is None:
        raise _refused(f"'{rule.name}' has no value; add it with its unit")
    try:
        parse_quantity(number, rule.unit)
    except UnitError as error:
        raise _refused(f"{rule.name}: {error}") from None
    return number


def _date_value(rule: SpokenFact, day: dt.date | None) -> str:
    if day is None:
        raise _refused(f"'{rule.name}' has no date; add it, such as '12 Sep'")
    return day.isoformat()


def _of_operation(match: Match, rest: str) -> tuple[Kind, str]:
    denied = _NOT.search(rest)
    if _WISH.search(rest):
        return "wish", "no" if denied else "yes"
    if denied:
        what = f"'{denied[0]}': a note tells what was done; for a wish write 'do not want …'"
        raise _refused(what)
    details, left = take_work_details(rest, wet="water" in match.name)
    number = first_number(left)
    if number is not None:
        wanted = "passes, a depth such as '3 in', an amount such as '0.7 lb N' or '3 lb/1000ft2'"
        raise _refused(f"'{number}' is not understood; about work it can be {wanted}")
    return "work", "; ".join(f"{key}={value}" for key, value in details.items())


def _take_area(rest: str, areas: Collection[str]) -> tuple[str, str]:
    for area in sorted(areas, key=len, reverse=True):
        said = re.escape(area).replace("_", "[ _-]")
        pattern = rf"\b(?:(?:in|on|at) )?(?:the )?{said}(?: lawn| yard| area)?\b:?"
        match = re.search(pattern, rest)
        if match:
            return area, f"{rest[: match.start()]} , {rest[match.end() :]}"
    return "", rest


def _note(note: str, time: dt.time | None) -> str:
    return f"{note} [{time:%H:%M}]" if time else note


def _says(entry: NewEntry) -> str:
    what = entry.what.replace("_", " ")
    where = f" ({entry.area})" if entry.area else ""
    value = {
        "work": f"done{': ' + entry.value.replace('=', ' ') if entry.value else ''}",
        "wish": "wanted" if entry.value == "yes" else "not wanted",
    }.get(entry.kind, entry.value.replace("_", " "))
    return f"{entry.date}: {what}{where} {value}"


def _some(names: Iterable[str]) -> str:
    known = sorted(name.replace("_", " ") for name in names)
    more = ", …" if len(known) > _TOLD_AT_MOST else ""
    return ", ".join(known[:_TOLD_AT_MOST]) + more


def _refused(what: str) -> BadInput:
    return BadInput.at(Place("this note"), what)
