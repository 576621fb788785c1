"""Plain words into the journal, and out of it again."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from advisor.base.problems import BadInput, Place
from advisor.cases.lawn import Lawn
from advisor.facts.day import OTHER_WORK
from advisor.facts.vocabulary import FAMILIES, FactDefinition
from advisor.site.append_journal import append
from advisor.site.append_journal import undo as append_undo
from advisor.site.entry import JournalRules
from advisor.site.entry_checks import check_new
from advisor.site.entry_text import Understood, understand
from advisor.site.read_site import JOURNAL_FILE

Names = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Recorded:
    """id: of the new line. says: how it was understood."""

    id: str
    says: str


def record_note(lawn: Lawn, words: str, today: dt.date) -> Recorded:
    """Record what was seen, or what is wanted. Raises `BadInput` for what is not understood."""
    facts, work = _facts(lawn), _work(lawn)
    areas = lawn.site.area_names
    try:
        found = understand(words, facts, {}, today, areas)
    except BadInput as seen:
        try:
            found = understand(words, {}, work, today, areas)
        except BadInput:
            raise seen from None
        if found.entry.kind != "wish":
            what = f"'{words}' reads as work: 'advisor done' records it"
            raise BadInput.at(Place("this note"), what) from None
    return _append(lawn, found, facts, work, today)


def record_work(lawn: Lawn, words: str, today: dt.date) -> Recorded:
    """Record work done. Raises `BadInput` for what is not understood."""
    work = _work(lawn)
    found = understand(words, {}, work, today, lawn.site.area_names)
    return _append(lawn, found, _facts(lawn), work, today)


def take_back(lawn: Lawn, record: str, today: dt.date) -> None:
    """Write that a record no longer counts. Raises `BadInput` if there is none of that id."""
    append_undo(lawn.folder / JOURNAL_FILE, record, today)


def _append(
    lawn: Lawn,
    found: Understood,
    facts: Mapping[str, FactDefinition],
    work: Names,
    today: dt.date,
) -> Recorded:
    check_new(found.entry, JournalRules(facts, frozenset(work), today, lawn.site.area_names))
    (id,) = append(lawn.folder / JOURNAL_FILE, [found.entry])
    return Recorded(id, found.says)


def _facts(lawn: Lawn) -> dict[str, FactDefinition]:
    """What can be seen; wishes and work are told by the names of operations."""
    known = lawn.book.vocabulary.definitions
    return {n: d for n, d in known.items() if d.varies == "record" and n not in FAMILIES}


def _work(lawn: Lawn) -> dict[str, tuple[str, ...]]:
    return {**{work: (work,) for work in OTHER_WORK}, **lawn.book.asked_as}
