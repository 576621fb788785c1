"""One line of the journal, and what it may speak of."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Mapping
from typing import Literal, Protocol

from advisor.base.record import Record, field

Kind = Literal["observation", "work", "wish", "undo"]
KINDS: tuple[Kind, ...] = ("observation", "work", "wish", "undo")
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

    what: a fact (observation), an operation (work, wish) or the id of the record undone.
    value: canonical float, bool, choice or date of an observation; whether a wish is held; None
    for work and undo. text: the value cell as written. details: what was said about work, known
    keys as canonical floats. area: empty for the whole lawn. line: in the journal's file.
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
