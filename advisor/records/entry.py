"""One line of the journal: what it may speak of, and how it is checked."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Collection, Mapping
from typing import Literal, Protocol, cast

from advisor.base.dates import FIRST_DAY
from advisor.base.problems import Place, Problems, did_you_mean
from advisor.base.record import Record, field
from advisor.base.units import UnitError, parse_quantity
from advisor.records.limit_values import ALL, LIMIT_NAMES, NONE, read_noted
from advisor.records.ranges import say_range
from advisor.records.words import as_flag, as_name
from advisor.records.work_details import read_details

Kind = Literal["observation", "work", "wish", "limit", "undo"]
KINDS: tuple[Kind, ...] = ("observation", "work", "wish", "limit", "undo")
COLUMNS = ("id", "date", "kind", "what", "value", "area", "note")
HEADER = ",".join(COLUMNS)

_TIME = re.compile(r"\[([01][0-9]|2[0-3]):([0-5][0-9])\]")

Value = float | bool | str | dt.date
Details = Mapping[str, float | str]


class FactRule(Protocol):
    """What the journal must know of a fact to check an observation of it.

    kind: `number`, `flag`, `choice` or `date`. unit, lowest, highest: canonical unit.
    """

    @property
    def name(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def choices(self) -> tuple[str, ...]: ...
    @property
    def lowest(self) -> float | None: ...
    @property
    def highest(self) -> float | None: ...


class JournalRules(Record, frozen=True):
    """Against what entries are checked. `areas` None: any area name passes."""

    facts: Mapping[str, FactRule]
    operations: frozenset[str]
    today: dt.date
    areas: frozenset[str] | None = None


class NewEntry(Record, frozen=True):
    """A record before it has its id; every cell as the keeper wrote it."""

    date: dt.date
    kind: Kind
    what: str
    value: str = ""
    area: str = ""
    note: str = ""


class Entry(Record, frozen=True):
    """A checked record.

    what: a fact (observation), an operation (work, wish), a key of `limits` in site.yaml or `all`
    (limit), or the id of the record undone.
    value: canonical float, bool, choice or date of an observation; whether a wish is held; None
    for work, limit and undo. text: the value cell as written. details: what was said about work,
    known keys as canonical floats. area: empty for the whole lawn. line: in the journal's file.
    """

    id: str
    date: dt.date
    kind: Kind
    what: str
    value: Value | None = None
    text: str = ""
    details: Details = field(default_factory=dict)
    area: str = ""
    note: str = ""
    line: int = 0

    @property
    def time_of_day(self) -> dt.time | None:
        """The time that stands in brackets in the note, such as `[08:00]`."""
        found = _TIME.search(self.note)
        return dt.time(int(found[1]), int(found[2])) if found else None


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
    if kind in KINDS:
        value, details = _said(kind, what, text, rules, tell)
    else:
        value, details = None, {}
        hint = did_you_mean(kind, KINDS) or f"; known: {', '.join(KINDS)}"
        tell("kind")(f"unknown kind '{kind}'{hint}")
    if kind == "limit" and area:
        tell("area")(f"'{area}': a limit is of the keeper, not of an area; leave the cell empty")
    line = place.line or 0
    return Entry(id_, day, cast(Kind, kind), what, value, text, details, area, note, line)


def _said(
    kind: Kind, what: str, text: str, rules: JournalRules, tell: Callable[[str], Tell]
) -> tuple[Value | None, Details]:
    """The value and the details of a record of a known kind."""
    if kind == "observation":
        return _observed(what, text, rules, tell), {}
    if kind == "limit":
        _check_limit(what, text, tell)
    elif kind == "undo":
        if text:
            tell("value")(f"'{text}': an undo has no value; leave the cell empty")
    elif what not in rules.operations:
        tell("what")(f"unknown operation '{what}'{_nearest(what, rules.operations)}")
    elif kind == "wish":
        return (_flag(text, tell("value")) if text else True), {}
    else:
        return None, read_details(text, tell("value"))
    return None, {}


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


def _check_limit(what: str, text: str, tell: Callable[[str], Tell]) -> None:
    """A value is checked as in site.yaml; `none` ends a limit, and all of them as one."""
    if what == ALL:
        if text != NONE:
            tell("value")(f"'{text}': of all limits only '{NONE}' can be said, which ends them")
    elif what not in LIMIT_NAMES:
        tell("what")(f"unknown limit '{what}'{_nearest(what, (*LIMIT_NAMES, ALL))}")
    else:
        try:
            read_noted(what, text)
        except ValueError as error:
            tell("value")(str(error))


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
