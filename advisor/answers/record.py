"""Plain words into the journal, and out of it again.

A record is proposed before it is written: one that rules out work for a while, or that stands
already, is read back and wants a yes first.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from advisor.answers.forbidden import Forbidden, forbidden_by, say_forbidden
from advisor.base.problems import BadInput
from advisor.cases.lawn import Lawn, grass_of_lawn
from advisor.facts.day import OTHER_WORK
from advisor.facts.vocabulary import FAMILIES, FactDefinition
from advisor.rulebook.conditions import leaves
from advisor.site.append_journal import append, as_written
from advisor.site.append_journal import undo as append_undo
from advisor.site.entry import Entry, JournalRules, NewEntry
from advisor.site.entry_checks import check_new
from advisor.site.entry_text import NothingKnown, Understood, understand
from advisor.site.not_done import bought, veto
from advisor.site.read_site import JOURNAL_FILE
from advisor.site.work_text import NotWork, WorkWords, refused, say_names

NO_FACTS: dict[str, FactDefinition] = {}


@dataclass(frozen=True)
class Proposal:
    """A record that may be written.

    says: how the words were understood. means: what it rules out, in words. stands: the id of the
    same record, if the journal holds it already.
    """

    entry: NewEntry
    says: str
    means: str = ""
    stands: str = ""

    @property
    def asks(self) -> bool:
        """Whether it wants a yes before it is written."""
        return bool(self.means or self.stands)

    @property
    def read_back(self) -> str:
        """What was understood, and why that wants a yes."""
        parts = (
            self.says,
            f"that means {self.means}" if self.means else "",
            f"the same stands there already as {self.stands}" if self.stands else "",
        )
        return "; ".join(part for part in parts if part)


def propose_note(lawn: Lawn, words: str, today: dt.date) -> Proposal:
    """What was seen, or what is wanted. Raises `BadInput` for what is not understood."""
    areas = lawn.site.area_names
    try:
        found = understand(words, _facts(lawn), {}, today, areas)
    except BadInput as seen:
        return _propose(lawn, _wish(lawn, words, today, seen), today)
    definition = lawn.book.vocabulary.definitions[found.entry.what]
    if definition.tells_of and found.entry.value != "none":
        held = veto(found.plain, ()) or bought(found.plain)
        if held:
            rule, said = held
            work = definition.tells_of.replace("_", " ")
            what = f"'{words}' would tell of work done ({work}): {rule.why.format(said=said)}"
            raise refused(what)
    return _propose(lawn, found, today)


def propose_work(lawn: Lawn, words: str, today: dt.date) -> Proposal:
    """Work done. Raises `BadInput` for what is not understood, or is no work that was done."""
    try:
        found = understand(words, NO_FACTS, work_words(lawn), today, lawn.site.area_names)
    except NotWork as error:
        told = (error.problems[0].what, _where_else(lawn, error))
        raise refused("; ".join(filter(None, told))) from None
    if found.entry.kind == "wish":
        what = f"{found.says}: a wish, not work done; 'advisor note' records it"
        raise refused(what)
    return _propose(lawn, found, today)


def write(lawn: Lawn, proposal: Proposal) -> str:
    """Put a record at the end of the journal and return its id."""
    (id,) = append(lawn.folder / JOURNAL_FILE, [proposal.entry])
    return id


def take_back(lawn: Lawn, record: str, today: dt.date) -> None:
    """Write that a record no longer counts. Raises `BadInput` if there is none of that id."""
    append_undo(lawn.folder / JOURNAL_FILE, record, today)


def _wish(lawn: Lawn, words: str, today: dt.date, seen: BadInput) -> Understood:
    """The wish that words hold which tell of no reading. `seen` says why they do not."""
    try:
        found = understand(words, NO_FACTS, work_words(lawn), today, lawn.site.area_names)
    except NotWork as error:
        if not isinstance(seen, NothingKnown):
            raise seen from None
        about = f"'{words}' is about {say_names(error.operations)}"
        what = f"holds no reading that is understood{_reading(lawn, error)}"
        raise refused(f"{about}, {what}, and is not work done: {error.why}") from None
    except BadInput:
        raise seen from None
    if found.entry.kind != "wish":
        raise refused(f"'{words}' reads as work: 'advisor done' records it") from None
    return found


def _propose(lawn: Lawn, found: Understood, today: dt.date) -> Proposal:
    work, entry = frozenset(work_words(lawn)), found.entry
    checked = check_new(entry, JournalRules(_facts(lawn), work, today, lawn.site.area_names))
    means = say_forbidden(_forbidden(lawn, checked, today), today)
    cells = as_written(entry)
    same = (
        e.id
        for e in lawn.journal.standing
        if (e.date, e.kind) == (entry.date, entry.kind)
        and (e.what, e.text, e.area, e.note) == cells
    )
    return Proposal(entry, found.says, means, next(same, ""))


def _forbidden(lawn: Lawn, entry: Entry, today: dt.date) -> tuple[Forbidden, ...]:
    areas = [entry.area] if entry.area else [area.name for area in lawn.site.areas]
    known = [lawn.site.leading_grass(area) for area in areas]
    grasses = {grass for grass in known if grass} if all(known) else set()
    if entry.kind == "work":
        return forbidden_by(lawn.book, entry.what, entry.date, today, grasses)
    definition = lawn.book.vocabulary.definitions.get(entry.what)
    if entry.kind != "observation" or definition is None or not definition.tells_of:
        return ()
    if entry.value == "none":
        return ()
    # Not the work's own ban, which counts from the day of the work: only the wait of seed.
    waits = [
        grass_of_lawn(lawn.book.grasses[grass], lawn.book).seed_waits.get(str(entry.value))
        for grass in grasses or lawn.book.grasses
    ]
    longest = None if None in waits else max(wait for wait in waits if wait is not None)
    work = definition.tells_of
    return forbidden_by(lawn.book, work, entry.date, today, grasses, longest, only_label=True)


def _where_else(lawn: Lawn, error: NotWork) -> str:
    """The command for what the words tell instead of work."""
    if error.instead == "asked":
        return ""  # it is said already
    if error.instead == "wished":
        name = error.operations[0].replace("_", " ")
        return f"'advisor note' records a wish, such as 'want {name}'"
    return f"'advisor note' records what was seen{_reading(lawn, error)}"


def _reading(lawn: Lawn, error: NotWork) -> str:
    """The first reading that a job's need asks for, in the words that `note` understands."""
    readings = _facts(lawn)
    for operation in error.operations:
        for leaf in leaves(lawn.book.operations[operation].need):
            definition = readings.get(leaf.fact)
            if definition is not None and definition.said_as and definition.of_keeper:
                return f", such as '{definition.said_as[0]} …'"
    return ""


def _facts(lawn: Lawn) -> dict[str, FactDefinition]:
    """What can be seen; wishes and work are told by the names of operations."""
    known = lawn.book.vocabulary.definitions
    return {n: d for n, d in known.items() if d.varies == "record" and n not in FAMILIES}


def work_words(lawn: Lawn) -> dict[str, WorkWords]:
    """How keepers speak of each job that the journal takes."""
    book = lawn.book
    told = {id: WorkWords(words, book.done_as[id]) for id, words in book.asked_as.items()}
    return {**{work: WorkWords((work,)) for work in OTHER_WORK}, **told}
