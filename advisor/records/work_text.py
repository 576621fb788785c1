"""A note about a job: work that was done, a wish, or neither, with what makes it so."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record, field
from advisor.records.doing import DoneAs, Tokens, find_done, tokens
from advisor.records.entry import Kind
from advisor.records.not_done import Instead, denied, keepers_own, veto
from advisor.records.note_values import first_number, take_work_details
from advisor.records.note_words import Match, find_subjects

_WISH = re.compile(
    r"\b(?:wants?|wish to|would like|won't|wont|(?:i|we)'ll|(?:plan|planning|intend|intending|hope|"
    r"hoping) (?:to|on)|(?:i am|i'm|im|we are|we're|not) going to)\b"
    r"|^(?:(?:i |we )?(?:plan|planning|will|intend)|going to)\b"
)
_CLAUSE = re.compile(r"[,;:](?!\d)|[.!?](?=\s|\Z)|\s[-–—]\s")


class WorkWords(Record, frozen=True):
    """How keepers speak of a job: asking for it, and telling that it was done."""

    asked_as: tuple[str, ...] = ()
    done_as: DoneAs = field(default_factory=DoneAs)


class NotWork(BadInput):
    """A note about a job that tells of no work done on it.

    operations: those it is about. why: a clause. instead: what it tells.
    """

    operations: tuple[str, ...] = ()
    why: str = ""
    instead: Instead = "seen"


def refused(what: str) -> BadInput:
    """That a note is not understood, and why."""
    return BadInput.at(Place("this note"), what)


def say_names(operations: Sequence[str]) -> str:
    """`core aeration or thatch removal`."""
    return " or ".join(name.replace("_", " ") for name in operations)


def work_matches(plain: str, rest: str, work: Mapping[str, WorkWords]) -> list[Match]:
    """The jobs that a note is about: those it says were done, else those it names.

    plain: the lower-case note without its date, an area told as `lawn`. rest: without the area.
    """
    done, unclear = _done(plain, work)
    if done:
        return done
    named = find_subjects(rest, {}, {name: words.asked_as for name, words in work.items()})
    return named or [Match("operation", name, ("",)) for name in unclear]


def of_operation(
    note: str, about: Sequence[Match], plain: str, rest: str, work: Mapping[str, WorkWords]
) -> tuple[Kind, str]:
    """Kind and value of a record about a job. Raises `NotWork` if it is neither work nor wish."""
    done, unclear = _done(plain, work)
    name = about[0].name
    held = veto(plain, about[0].said if done else ())
    wish = _WISH.search(plain)
    if wish and keepers_own(plain, wish.start()):
        _only_one(note, about)
        return "wish", "no" if denied(plain) else "yes"
    if done and held is None:
        _only_one(note, about)
        return "work", _details(rest, wet="water" in name)
    rule, said = held or (None, "")
    if rule is not None:
        why = rule.why.format(said=said)
    else:
        why = unclear.get(name) or f"no word in it says that it was done{_such_as(name, work)}"
    operations = tuple(match.name for match in about)
    what = f"'{note}' is about {say_names(operations)}, and is not work done: {why}"
    error = NotWork(refused(what).problems)
    error.operations, error.why = operations, why
    error.instead = rule.instead if rule else "seen"
    raise error


def _done(plain: str, work: Mapping[str, WorkWords]) -> tuple[list[Match], dict[str, str]]:
    clauses: list[Tokens] = [tokens(clause) for clause in _CLAUSE.split(plain)]
    if _WISH.search(plain):
        return [], {}
    found, unclear = find_done(clauses, {name: words.done_as for name, words in work.items()})
    matches = [Match("operation", done.operation, done.said) for done in found]
    return matches, {x.operation: x.why for x in unclear}


def _only_one(note: str, about: Sequence[Match]) -> None:
    if len(about) > 1:
        names = " or ".join(f"'{match.name}'" for match in about)
        raise refused(f"'{note}' may be about {names}; say it with more of the name")


def _details(rest: str, wet: bool) -> str:
    details, left = take_work_details(rest, wet=wet)
    number = first_number(left)
    if number is not None:
        wanted = (
            "passes, a depth such as '3 in', an amount such as '0.7 lb N' or '3 lb/1000ft2', a "
            "time such as 'took 90 min'"
        )
        raise refused(f"'{number}' is not understood; about work it can be {wanted}")
    return "; ".join(f"{key}={value}" for key, value in details.items())


def _such_as(name: str, work: Mapping[str, WorkWords]) -> str:
    said = say_done(work[name])
    return f", such as '{said}'" if said else "; the journal keeps no work of that name"


def say_done(work: WorkWords) -> str:
    """Words that say that a job was done; empty if there are none."""
    done_as = work.done_as
    if done_as.alone:
        return done_as.alone[0]
    return f"{done_as.to[0].did[0]} {done_as.to[0].what[0]}" if done_as.to else ""
