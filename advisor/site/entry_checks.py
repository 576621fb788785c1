"""From a journal's row to a checked entry: names, dates, units and plausible ranges."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Collection
from typing import cast

from advisor.base.dates import FIRST_DAY
from advisor.base.problems import Place, Problems, did_you_mean
from advisor.base.units import UnitError, parse_quantity
from advisor.site.entry import (
    COLUMNS,
    KINDS,
    Details,
    Entry,
    FactRule,
    JournalRules,
    Kind,
    NewEntry,
    Value,
)
from advisor.site.ranges import say_range
from advisor.site.words import as_flag, as_name
from advisor.site.work_details import read_details

Tell = Callable[[str], None]
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_.-]{0,31}\Z")
_FEW = 8


def check_new(entry: NewEntry, rules: JournalRules) -> Entry:
    """A new record, checked before it is written. Raises `BadInput`."""
    problems = Problems()
    cells = ("new", entry.date.isoformat(), entry.kind, entry.what, entry.value, entry.area)
    checked = check_cells((*cells, entry.note), Place("this record"), rules, problems)
    problems.raise_if_any()
    return checked


def check_cells(
    cells: tuple[str, ...], place: Place, rules: JournalRules, problems: Problems
) -> Entry:
    """The seven cells as an entry. Each problem is told; the entry is then of no use."""

    def tell(column: str) -> Tell:
        prefix = f"column {COLUMNS.index(column) + 1} ({column}): "
        return lambda what: problems.add(place, prefix + what)

    id_, date, kind, what, text, area, note = cells
    if not _ID.match(id_):
        tell("id")(f"'{id_}' is no id; wanted up to 32 letters and digits, such as 'r12'")
    day = _day(date, rules.today, tell("date"))
    area = str(as_name(area))
    if area and rules.areas is not None and area not in rules.areas:
        known = sorted(rules.areas)
        hint = did_you_mean(area, known) or f"; known: {', '.join(known)}"
        tell("area")(f"unknown area '{area}'{hint}")
    value: Value | None = None
    details: Details = {}
    if kind not in KINDS:
        hint = did_you_mean(kind, KINDS) or f"; known: {', '.join(KINDS)}"
        tell("kind")(f"unknown kind '{kind}'{hint}")
    elif kind == "observation":
        value = _observed(what, text, rules, tell)
    elif kind == "undo":
        if text:
            tell("value")(f"'{text}': an undo has no value; leave the cell empty")
    elif what not in rules.operations:
        tell("what")(f"unknown operation '{what}'{_nearest(what, rules.operations)}")
    elif kind == "wish":
        value = True if not text else _flag(text, tell("value"))
    else:
        details = read_details(text, tell("value"))
    line = place.line or 0
    return Entry(id_, day, cast(Kind, kind), what, value, text, details, area, note, line)


def _observed(
    what: str, text: str, rules: JournalRules, tell: Callable[[str], Tell]
) -> Value | None:
    rule = rules.facts.get(what)
    if rule is None:
        tell("what")(f"unknown fact '{what}'{_nearest(what, rules.facts)}")
        return None
    if not text:
        tell("value")(f"the value is empty; write what '{what}' was")
        return None
    if rule.kind == "number":
        return _number(rule, text, tell("value"))
    if rule.kind == "flag":
        return _flag(text, tell("value"))
    if rule.kind == "date":
        return _day(text, rules.today, tell("value"))
    choice = str(as_name(text))
    if choice not in rule.choices:
        hint = did_you_mean(choice, rule.choices)
        tell("value")(f"'{text}' is no choice of '{what}'{hint}; known: {', '.join(rule.choices)}")
    return choice


def _number(rule: FactRule, text: str, tell: Tell) -> float | None:
    try:
        value = parse_quantity(text, rule.unit)
    except UnitError as error:
        tell(f"{rule.name}: {error}")
        return None
    low, high = rule.lowest, rule.highest
    if (low is not None and value < low) or (high is not None and value > high):
        wanted = say_range(rule.unit, low, high)
        tell(f"{rule.name}: '{text}' is not plausible; wanted {wanted}")
    return value


def _flag(text: str, tell: Tell) -> bool | None:
    flag = as_flag(text)
    if isinstance(flag, bool):
        return flag
    tell(f"'{text}' is neither yes nor no")
    return None


def _day(text: str, today: dt.date, tell: Tell) -> dt.date:
    try:
        if not _ISO.match(text):
            raise ValueError
        day = dt.date.fromisoformat(text)
    except ValueError:
        tell(f"'{text}' is no date; write YYYY-MM-DD, such as {today}")
        return today
    if day > today:
        tell(f"{day} lies in the future (today is {today}); write a day that has been")
    elif day < FIRST_DAY:
        tell(f"{day} lies before {FIRST_DAY.year}; check the year")
    return day


def _nearest(word: str, known: Collection[str]) -> str:
    names = sorted(known)
    more = ", …" if len(names) > _FEW else ""
    return did_you_mean(word, names) or f"; known: {', '.join(names[:_FEW])}{more}"
