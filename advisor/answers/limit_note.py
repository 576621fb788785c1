"""A limit in the keeper's words as a record of the journal."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator

from advisor.answers.limit_piece import Asked
from advisor.answers.limit_says import say_limit
from advisor.answers.limit_text import hint_for, read_limit
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.working_hours import working_hours
from advisor.records.entry import NewEntry
from advisor.records.entry_text import Understood
from advisor.records.journal import Journal
from advisor.records.limit_values import ALL, read_hours
from advisor.records.limits import WEEKDAYS
from advisor.records.work_text import refused

__all__ = ["hint_for", "limit_in", "noted_lines"]
_QUARTER = 15


def limit_in(case: Case, words: str, names_reading: Callable[[str], bool]) -> Understood | None:
    """The limit that words tell, None if they tell none. Raises `BadInput` for one that is
    unclear, or beside which something is told that is a reading (`names_reading`).
    """
    site = case.site
    asked = Asked(
        case.on,
        site.place.latitude,
        case.limits,
        site.money,
        frozenset(tool.kind for tool in site.tools if tool.have == "hired"),
        lambda what: _back(case, what),
        lambda date: _begins(case, date),
    )
    said = read_limit(words, asked)
    if said is None:
        return None
    if any(map(names_reading, said.reasons)):
        raise refused(f"'{words}' tells a limit and something else; write one note for each")
    note = " ".join(words.split())
    entry = NewEntry(case.on, "limit", said.what, said.value, note=note)
    says = f"Noted: {say_limit(said.what, said.value, case.on, site.money)}"
    if said.placed:
        says += f"; for other hours say when: 'only from 14:00 to 16:00 {_on_day(said.value)}'"
    return Understood(entry, says)


def _on_day(value: str) -> str:
    """`on 2026-09-12`, `on saturdays` or `every day`: the first day of hours, to be typed."""
    day = read_hours(value.partition(",")[0])[0]
    return f"on {day}{'s' if day in WEEKDAYS else ''}" if day else "every day"


def noted_lines(case: Case) -> Iterator[str]:
    """`Noted: no lifting … (r14)`: each record of a limit without which others would stand."""
    standing = case.journal.as_of(case.on).standing
    for entry in standing:
        if entry.kind != "limit" or entry.what == ALL:
            continue
        others = Journal(tuple(other for other in standing if other is not entry))
        if replace(case, journal=others).limits != case.limits:
            said = say_limit(entry.what, entry.text, case.on, case.site.money)
            yield f"Noted: {said}  ({entry.id})"


def _back(case: Case, what: str) -> str:
    """`; 'advisor undo my-lawn r14' takes the last one back`; empty where none is noted."""
    standing = case.journal.as_of(case.on).standing
    noted = [entry.id for entry in standing if (entry.kind, entry.what) == ("limit", what)]
    command = case.command("undo", noted[-1]) if noted else ""
    return f"; '{command}' takes the last one back" if command else ""


def _begins(case: Case, date: dt.date) -> int:
    """When work can begin, on the next quarter of an hour."""
    return -(-working_hours(case.site, date)[0] // _QUARTER) * _QUARTER
