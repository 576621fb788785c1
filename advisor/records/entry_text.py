"""Short plain notes as records: `thatch 0.8 in`, `cored yesterday, 3 passes`, `fed 0.7 lb N`.

Modest on purpose: words are looked up in the tables given, and what is not understood is refused
rather than guessed. Work counts only with a word of doing, about the keeper or nobody named, and
with nothing beside it that makes it a wish, a failure or somebody else's. The note itself is
always kept.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Collection, Iterable, Mapping
from typing import Protocol

from advisor.base.problems import BadInput
from advisor.base.record import Record
from advisor.base.units import UnitError, parse_quantity
from advisor.records.date_words import take_date, take_time
from advisor.records.entry import FactRule, Kind, NewEntry
from advisor.records.not_done import denied
from advisor.records.note_values import find_quantity, first_number, with_figures
from advisor.records.note_words import Match, choice_in, find_subjects
from advisor.records.work_text import WorkWords, of_operation, refused, work_matches

_TOLD_AT_MOST = 10


class SpokenFact(FactRule, Protocol):
    """A fact with the phrases that keepers use for it."""

    @property
    def said_as(self) -> tuple[str, ...]: ...


class NothingKnown(BadInput):
    """A note that names nothing we know."""


_TO_COME = re.compile(
    r"\b(?:i|we)(?:'d like| want| need| should| must| will| hope|'ll)\b"
    r"|^(?:get|ask|have|need|want|call)\b"
    r"|\b(?:need|have|want|ask|asked|going) to\b"
)
"""A reading that the keeper only means to bring about, such as `get the lines marked`."""


class Understood(Record, frozen=True):
    """The record, in one line how the note was understood, and its words without date and area."""

    entry: NewEntry
    says: str
    plain: str = ""


def understand(
    text: str,
    facts: Mapping[str, SpokenFact],
    work: Mapping[str, WorkWords],
    today: dt.date,
    areas: Collection[str] = (),
) -> Understood:
    """A note as a record, to be checked like any other before it is written.

    work: for each operation how keepers speak of it. areas: the site's areas. A note without a
    date is of `today`. Raises `BadInput` with what is not understood, and what would be:
    `NothingKnown` if it names nothing, `NotWork` if it is about a job on which no work was done.
    """
    note = " ".join(text.split())
    try:
        day, rest = take_date(with_figures(note.lower().replace("’", "'")), today)
        time, rest = take_time(rest)
    except ValueError as error:
        raise refused(str(error)) from None
    area, rest, plain = _take_area(rest, areas)
    about = _subjects(note, plain, rest, facts, work)
    name = about[0].name
    kind: Kind = "observation"
    if about[0].subject == "operation":
        kind, value = of_operation(note, about, plain, rest, work)
    elif facts[name].kind == "date":
        value, day = _date_value(facts[name], day), today
    else:
        value = _value(facts[name], rest)
    entry = NewEntry(day or today, kind, name, value, area, _note(note, time))
    return Understood(entry, _says(entry), plain)


def _subjects(
    note: str,
    plain: str,
    rest: str,
    facts: Mapping[str, SpokenFact],
    work: Mapping[str, WorkWords],
) -> list[Match]:
    """The one fact, or the operations, of which the note speaks with the most words."""
    found = find_subjects(rest, {name: rule.said_as for name, rule in facts.items()}, {})
    about = work_matches(plain, rest, work)
    longest = max((len(match.said) for match in (*found, *about)), default=0)
    best = [match for match in found if len(match.said) == longest]
    # Two jobs are two, with however many words each is told.
    best += about if any(len(match.said) == longest for match in about) else []
    if len(best) > 1 and any(match.subject == "fact" for match in best):
        names = " or ".join(f"'{match.name}'" for match in best)
        raise refused(f"'{note}' may be about {names}; say it with more of the name")
    if best:
        return best
    known = [
        f"{kind}: {_some(names)}" for kind, names in (("a reading", facts), ("work", work)) if names
    ]
    what = f"cannot tell what '{note}' is about; it can be {', or '.join(known)}"
    raise NothingKnown(refused(what).problems)


def _value(rule: SpokenFact, rest: str) -> str:
    if rule.kind == "flag":
        if denied(rest):
            return "no"
        if _TO_COME.search(rest):
            raise refused("what is wanted or asked for is not so yet; write it down when it is")
        return "yes"
    if rule.kind == "choice":
        choice = choice_in(rest, rule.choices)
        not_so = denied(rest)
        if not_so and "none" in rule.choices and choice in (None, "none"):
            return "none"
        if choice is None or not_so:
            wanted = ", ".join(rule.choices)
            raise refused(f"'{rule.name}' is not clear; say which it is: {wanted}")
        return choice
    found = find_quantity(rest, rule.unit)
    if found:
        return found[0]
    number = first_number(rest)
    if number is None:
        raise refused(f"'{rule.name}' has no value; add it with its unit")
    try:
        parse_quantity(number, rule.unit)
    except UnitError as error:
        raise refused(f"{rule.name}: {error}") from None
    return number


def _date_value(rule: SpokenFact, day: dt.date | None) -> str:
    if day is None:
        raise refused(f"'{rule.name}' has no date; add it, such as '12 Sep'")
    return day.isoformat()


def _take_area(rest: str, areas: Collection[str]) -> tuple[str, str, str]:
    """The area named, the note without it, and the note with `lawn` in its place."""
    for area in sorted(areas, key=len, reverse=True):
        said = re.escape(area).replace("_", "[ _-]")
        pattern = rf"\b(?:(?:in|on|at) )?(?:the )?{said}(?: lawn| yard| area)?\b:?"
        match = re.search(pattern, rest)
        if match:
            before, after = rest[: match.start()], rest[match.end() :]
            _check_alone(before, after, area, areas)
            return area, f"{before} , {after}", _plain(f"{before} lawn {after}")
    return "", rest, _plain(rest)


def _check_alone(before: str, after: str, area: str, areas: Collection[str]) -> None:
    """`the front and the back` are two records."""
    for other in set(areas) - {area}:
        said = re.escape(other).replace("_", "[ _-]")
        joined = r"\s*(?:,|and|&|\+)\s*(?:in )?(?:the )?"
        if re.match(rf"{joined}{said}\b", after) or re.search(rf"\b{said}{joined}\Z", before):
            one = "a record is of one part of the lawn, or of all of it; write one for each"
            raise refused(f"'{area}' and '{other}': {one}")


def _plain(text: str) -> str:
    """Without the marks that stand where a date was taken out: they end no clause."""
    return " ".join(text.replace(" , ", " ").split())


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
