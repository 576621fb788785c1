"""Plain words into the journal, and out of it again.

A record is proposed before it is written: one that rules out work for a while, or that stands
already, is read back and wants a yes first.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from pathlib import Path

from advisor.answers.forbidden import Forbidden, forbidden_by, say_forbidden
from advisor.answers.limit_note import hint_for, limit_in
from advisor.answers.words import Words
from advisor.base.problems import BadInput
from advisor.base.record import Record
from advisor.cases.case import Case
from advisor.cases.parts import grass_of_lawn
from advisor.facts.day import OTHER_WORK
from advisor.facts.fact import FAMILIES, FactDefinition
from advisor.records.append_journal import append, as_written
from advisor.records.append_journal import undo as append_undo
from advisor.records.entry import Entry, JournalRules, Kind, NewEntry, check_new
from advisor.records.entry_text import NothingKnown, Understood, understand
from advisor.records.not_done import bought, veto
from advisor.records.read_site import JOURNAL_FILE
from advisor.records.work_text import NotWork, WorkWords, refused, say_names
from advisor.rulebook.conditions import leaves

NO_FACTS: dict[str, FactDefinition] = {}


class Proposal(Record, frozen=True):
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


def propose_note(case: Case, words: str) -> Proposal:
    """What was seen, what is wanted, or what sets bounds. Raises `BadInput` for what is not
    understood.
    """
    areas = case.site.area_names
    try:
        found = understand(words, _facts(case), {}, case.on, areas)
    except BadInput as seen:
        return _propose(case, _no_reading(case, words, seen))
    definition = case.book.vocabulary.definitions[found.entry.what]
    if definition.tells_of and found.entry.value != "none":
        held = veto(found.plain, ()) or bought(found.plain)
        if held:
            rule, said = held
            work = definition.tells_of.replace("_", " ")
            what = f"'{words}' would tell of work done ({work}): {rule.why.format(said=said)}"
            if rule.instead == "asked":
                what += _asking(case, words, (definition.tells_of,))
            raise refused(what)
    return _propose(case, found)


def propose_work(case: Case, words: str) -> Proposal:
    """Work done. Raises `BadInput` for what is not understood, or is no work that was done."""
    try:
        found = understand(words, NO_FACTS, work_words(case), case.on, case.site.area_names)
    except NotWork as error:
        raise refused(error.problems[0].what + _where_else(case, words, error)) from None
    except NothingKnown as error:
        offer = _offer(case, "note", words, "limit", "records a limit")
        raise refused(error.problems[0].what + offer) from None
    if found.entry.kind == "wish":
        what = f"{found.says}: a wish, not work done{_offer(case, 'note', words, 'wish')}"
        raise refused(what)
    return _propose(case, found)


def write(folder: Path, proposal: Proposal) -> str:
    """Put a record at the end of the folder's journal and return its id."""
    (id,) = append(folder / JOURNAL_FILE, [proposal.entry])
    return id


def take_back(folder: Path, record: str, today: dt.date) -> None:
    """Write that a record no longer counts. Raises `BadInput` if there is none of that id."""
    append_undo(folder / JOURNAL_FILE, record, today)


def _no_reading(case: Case, words: str, seen: BadInput) -> Understood:
    """The wish or the limit that words hold which tell of no reading."""
    try:
        return _wish(case, words, seen)
    except BadInput as error:
        # Last, so that no limit takes what is a reading, a wish or work.
        limit = limit_in(case, words, lambda piece: _names_reading(case, piece))
        if limit is not None:
            return limit
        hint = hint_for(words) if isinstance(error, NothingKnown) else ""
        if not hint:
            raise
        raise NothingKnown(
            refused(f"{error.problems[0].what}; a limit is told such as {hint}").problems
        ) from None


def _names_reading(case: Case, words: str) -> bool:
    """Whether words are about a reading, or a job, be it told clearly or not."""
    try:
        understand(words, _facts(case), work_words(case), case.on, case.site.area_names)
    except NothingKnown:
        return False
    except BadInput:
        return True
    return True


def _wish(case: Case, words: str, seen: BadInput) -> Understood:
    """The wish that words hold which tell of no reading. `seen` says why they do not."""
    try:
        found = understand(words, NO_FACTS, work_words(case), case.on, case.site.area_names)
    except NotWork as error:
        if not isinstance(seen, NothingKnown):
            raise seen from None
        about = f"'{words}' is about {say_names(error.operations)}"
        such = f", such as '{reading}'" if (reading := _reading(case, error)) else ""
        what = f"holds no reading that is understood{such}, and is not work done: {error.why}"
        asks = _asking(case, words, error.operations) if error.instead == "asked" else ""
        raise refused(f"{about}, {what}{asks}") from None
    except BadInput:
        raise seen from None
    if found.entry.kind != "wish":
        raise refused(f"'{words}' reads as work{_offer(case, 'done', words, 'work')}") from None
    return found


def _propose(case: Case, found: Understood) -> Proposal:
    work, entry = frozenset(work_words(case)), found.entry
    checked = check_new(entry, JournalRules(_facts(case), work, case.on, case.site.area_names))
    means = say_forbidden(_forbidden(case, checked), case.on)
    cells = as_written(entry)
    same = (
        e.id
        for e in case.journal.standing
        if (e.date, e.kind) == (entry.date, entry.kind)
        and (e.what, e.text, e.area, e.note) == cells
    )
    return Proposal(entry, found.says, means, next(same, ""))


def _forbidden(case: Case, entry: Entry) -> tuple[Forbidden, ...]:
    areas = [entry.area] if entry.area else [area.name for area in case.site.areas]
    known = [case.site.leading_grass(area) for area in areas]
    grasses = {grass for grass in known if grass} if all(known) else set()
    if entry.kind == "work":
        return forbidden_by(case.book, entry.what, entry.date, case.on, grasses)
    definition = case.book.vocabulary.definitions.get(entry.what)
    if entry.kind != "observation" or definition is None or not definition.tells_of:
        return ()
    if entry.value == "none":
        return ()
    # Not the work's own ban, which counts from the day of the work: only the wait of seed.
    waits = [
        grass_of_lawn(case.book.grasses[grass], case.book).seed_waits.get(str(entry.value))
        for grass in grasses or case.book.grasses
    ]
    longest = None if None in waits else max(wait for wait in waits if wait is not None)
    work = definition.tells_of
    return forbidden_by(case.book, work, entry.date, case.on, grasses, longest, only_label=True)


def _where_else(case: Case, words: str, error: NotWork) -> str:
    """The command for what the words tell instead of work."""
    if error.instead == "asked":
        return _asking(case, words, error.operations)
    if error.instead == "wished":
        wish = f"want {error.operations[0].replace('_', ' ')}"
        return _offer(case, "note", wish, "wish", "records a wish")
    if own := _offer(case, "note", words, "observation", "records what was seen"):
        return own
    seen = _reading(case, error)
    does = "records what was seen, by way of example"
    offer = _offer(case, "note", seen, "observation", does) if seen else ""
    return offer or "; a note records what was seen"


def _offer(case: Case, name: str, words: str, kind: Kind, does: str = "records it") -> str:
    """`; 'advisor done my-lawn "cored"' records it`, if these words make a record of that kind."""
    command = case.command(name, words)
    try:
        proposal = (propose_note if name == "note" else propose_work)(case, words)
    except BadInput:
        return ""
    return f"; '{command}' {does}" if command and proposal.entry.kind == kind else ""


def _asking(case: Case, words: str, operations: Sequence[str]) -> str:
    """The command that answers a question about some jobs, in its own words if they will do."""
    from advisor.answers.understand import understand as read_question
    from advisor.answers.understood import NotUnderstood

    titles = (case.book.operations[id].title.lower() for id in operations)
    for asked in (words, *(f"should I do {title}" for title in titles)):
        command = case.command("ask", asked)
        read = read_question(asked, case.book.asked_as, case.on, latitude=case.site.place.latitude)
        if command and not isinstance(read, NotUnderstood) and read.operation in operations:
            return f"; '{command}' answers"
    return ""


def _reading(case: Case, error: NotWork) -> str:
    """The first reading that a job's need asks for, in words that `note` understands."""
    readings, said = _facts(case), Words(case.site.unit_system)
    named = [case.site.leading_grass(area.name) for area in case.site.areas]
    grass = case.book.grasses[next(filter(None, named), next(iter(case.book.grasses)))]
    for operation in error.operations:
        for leaf in leaves(case.book.operations[operation].for_grass(grass).need):
            definition = readings.get(leaf.fact)
            if definition is None or not definition.said_as or not definition.of_keeper:
                continue
            limit = leaf.limit[0] if isinstance(leaf.limit, tuple) else leaf.limit
            value = "" if definition.kind == "flag" else f" {said.value(limit, definition)}"
            words = f"{definition.said_as[0]}{value}"
            try:
                found = understand(words, readings, {}, case.on, case.site.area_names)
            except BadInput:
                continue
            if found.entry.what == leaf.fact:
                return words
    return ""


def _facts(case: Case) -> dict[str, FactDefinition]:
    """What can be seen; wishes and work are told by the names of operations."""
    known = case.book.vocabulary.definitions
    return {n: d for n, d in known.items() if d.varies == "record" and n not in FAMILIES}


def work_words(case: Case) -> dict[str, WorkWords]:
    """How keepers speak of each job that the journal takes."""
    book = case.book
    told = {id: WorkWords(words, book.done_as[id]) for id, words in book.asked_as.items()}
    return {**{work: WorkWords((work,)) for work in OTHER_WORK}, **told}
