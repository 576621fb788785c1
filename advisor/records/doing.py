"""Which work a sentence says was done: a word of doing, and where it wants one, its object.

The words of each job are data (`done_as` in its rule file). Here stands only where in a sentence
they may stand: "dethatched the front", "weeds were sprayed", "did the aeration", "aeration done".
What stands before a word of doing must be the keeper, or the lawn, or nobody.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from itertools import takewhile

from advisor.base.record import Record
from advisor.records.words import (
    AFTER_OBJECT,
    ARTICLES,
    AUXILIARIES,
    BE_FORMS,
    BETWEEN,
    COMPLETED,
    DESCRIBING,
    FOLLOWS_WORK,
    JOINING,
    KEEPER,
    OF_LAWN,
    PASSED_OVER,
    PAST_VERBS,
    STATES,
)

_WORD = re.compile(r"[a-z]+")
_FURTHEST = 6
"""So many words may stand between a word of doing and its object ("six bags of old")."""
Tokens = tuple[str, ...]


class DoneTo(Record, frozen=True):
    """Words of doing that want an object. unless: words that make it something else."""

    did: tuple[str, ...]
    what: tuple[str, ...]
    unless: tuple[str, ...] = ()
    passive: bool = True


class DoneAs(Record, frozen=True):
    """How keepers say that a job was done: words that say it alone, words with an object, and
    what the job is called beside "did", "finished" or "done"."""

    alone: tuple[str, ...] = ()
    to: tuple[DoneTo, ...] = ()
    called: tuple[str, ...] = ()
    unless: tuple[str, ...] = ()


class Done(Record, frozen=True):
    """A job that a sentence says was done. said: the words that say it."""

    operation: str
    said: Tokens


class Unclear(Record, frozen=True):
    """A job's own word of doing where it may mean something else. why: a whole clause."""

    operation: str
    why: str


def tokens(text: str) -> Tokens:
    """The words of lower-case text, without figures and marks."""
    return tuple(_WORD.findall(text.replace("'", "").replace("’", "")))


def find_done(
    clauses: list[Tokens], work: Mapping[str, DoneAs]
) -> tuple[list[Done], list[Unclear]]:
    """The jobs that were done, each by words that tell of no other; and those that are unclear."""
    found: dict[str, Done] = {}
    unclear: dict[str, Unclear] = {}
    every = frozenset(word for clause in clauses for word in clause)
    for operation, words in work.items():
        if any(_holds_any(words.unless, clause, every) for clause in clauses):
            continue
        for clause in clauses:
            for hit in _in_clause(operation, words, clause, every):
                if isinstance(hit, Unclear):
                    unclear.setdefault(operation, hit)
                elif operation not in found or len(hit.said) > len(found[operation].said):
                    found[operation] = hit
    # "mowed low" is no "mowed" as well.
    said = [set(done.said) for done in found.values()]
    own = [done for done in found.values() if not any(set(done.said) < other for other in said)]
    return own, list(unclear.values())


def _in_clause(
    operation: str, words: DoneAs, clause: Tokens, every: frozenset[str]
) -> Iterator[Done | Unclear]:
    for verb in map(_split, words.alone):
        for at in _places(verb, clause):
            why = _subject(clause, at) or _object(clause, at + len(verb), words)
            yield Unclear(operation, why) if why else Done(operation, verb)
    named = DoneTo(COMPLETED, words.called)
    for doing in (*words.to, named):
        if _holds_any(doing.unless, clause, every):
            continue
        for verb in map(_split, doing.did):
            for what in map(_split, doing.what):
                yield from _with_object(operation, verb, what, clause, doing.passive)


def _with_object(
    operation: str, verb: Tokens, what: Tokens, clause: Tokens, passive: bool
) -> Iterator[Done | Unclear]:
    first, particle = verb[:1], verb[1:]
    general = " ".join(verb) in COMPLETED
    for at in _places(first, clause):
        for there in _places(what, clause):
            end = there + len(what)
            if at < there:
                start = at + 1
                if particle and clause[start : start + len(particle)] == particle:
                    start += len(particle)
                elif particle and clause[end : end + len(particle)] == particle:
                    end += len(particle)
                elif particle:
                    continue
                between = clause[start:there]
                if len(between) > _FURTHEST:
                    continue
                why = (
                    _subject(clause, at)
                    or _stranger(between, BETWEEN - {"of", "for"} if general else BETWEEN)
                    or _after_object(clause, end)
                )
            elif passive and end <= at and set(clause[end:at]) <= BE_FORMS | PASSED_OVER:
                after = at + 1
                if clause[after : after + len(particle)] != particle:
                    continue
                why = _before_object(clause, there) or _after_passive(clause, after + len(particle))
            else:
                continue
            yield Unclear(operation, why) if why else Done(operation, (*verb, *what))


def _subject(clause: Tokens, at: int) -> str:
    """Why the word at `at` is not what the keeper did; empty if it is."""
    before = clause[:at]
    while before and (before[-1] in PASSED_OVER or before[-1].endswith("ly")):
        before = before[:-1]
    if before and before[-1] in ARTICLES:
        return f"'{before[-1]} {clause[at]} …' tells of a thing, not of work"
    passive = bool(before) and before[-1] in BE_FORMS
    while before:
        word = before[-1]
        if word in KEEPER or (word in JOINING and _begins_with_work(before)):
            return ""
        known = AUXILIARIES | OF_LAWN | ARTICLES | PASSED_OVER | DESCRIBING
        if word not in known and not word.endswith("ly"):
            return f"'{word} … {clause[at]}' does not say that you did it"
        before = before[:-1]
    lawn_first = any(word in OF_LAWN for word in clause[:at])
    later = _state_after(clause, at + 1)
    return "" if (passive and lawn_first) or not later else later


def _begins_with_work(clause: Tokens) -> bool:
    """`bought seed and mowed`: the keeper of the first part goes on. Not so `rain came and …`."""
    first = next((word for word in clause if word not in PASSED_OVER), "")
    return first in KEEPER or first in PAST_VERBS or first.endswith("ed")


def _before_object(clause: Tokens, there: int) -> str:
    """Why what stands before a passive's object makes it something else; empty if nothing does."""
    for word in reversed(clause[:there]):
        known = ARTICLES | PASSED_OVER | DESCRIBING | KEEPER | AUXILIARIES | {"of", "bag", "bags"}
        if word not in known and not word.endswith("ly"):
            return f"'{word}' is not understood there"
    return ""


def _object(clause: Tokens, after: int, words: DoneAs) -> str:
    """Why what follows a word that says the job alone is something else; empty if it fits."""
    own = {word for doing in words.to for what in doing.what for word in _split(what)}
    own |= {word for name in (*words.alone, *words.called) for word in _split(name)}
    for word in clause[after:]:
        if word in OF_LAWN or word in own or word in FOLLOWS_WORK or word.endswith("ly"):
            break
        if word not in ARTICLES | DESCRIBING:
            return f"'{word}' is not known as a part of this lawn"
    return _state_after(clause, after)


def _stranger(words: Tokens, known: frozenset[str]) -> str:
    odd = next((w for w in words if w not in known and not w.endswith("ly")), "")
    return f"'{odd}' is not understood there" if odd else ""


def _after_object(clause: Tokens, end: int) -> str:
    """`cut the lawn chair`: what follows makes the object another thing, or a state of it."""
    return _stranger(clause[end : end + 1], AFTER_OBJECT) or _state_after(clause, end)


def _after_passive(clause: Tokens, after: int) -> str:
    """`leaves removed the light`: with an object of its own it is no passive."""
    following = clause[after : after + 1]
    if following and following[0] in ARTICLES:
        return f"'{clause[after - 1]} {following[0]} …' tells what something else did"
    return _stranger(following, FOLLOWS_WORK | JOINING | OF_LAWN)


def _state_after(clause: Tokens, after: int) -> str:
    """`mowed grass looks brown`: the word of doing only describes."""
    rest = takewhile(lambda word: word not in JOINING, clause[after:])
    state = next((word for word in rest if word in STATES), "")
    return f"'{state}' tells how something is, not what was done" if state else ""


def _places(wanted: Tokens, clause: Tokens) -> Iterator[int]:
    for at in range(len(clause) - len(wanted) + 1):
        if clause[at : at + len(wanted)] == wanted:
            yield at


def _holds_any(phrases: tuple[str, ...], clause: Tokens, every: frozenset[str]) -> bool:
    return any(
        phrase in every if " " not in phrase else any(True for _ in _places(_split(phrase), clause))
        for phrase in phrases
    )


def _split(phrase: str) -> Tokens:
    return tuple(phrase.split())
