"""Jobs that are open at once and must not both be done, or not in any order, as readers are told.

A keeper who notes a wish is held back by the rules. A reader who has noted nothing is shown several
open seasons side by side, and could put down a weed preventer and sow into it.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

from advisor.answers.answer import Answer
from advisor.answers.sources import source_names
from advisor.answers.words import sentence
from advisor.base.record import Record
from advisor.rulebook.model import RuleBook, Wait

# Of what has been done the rules say that it was; here nothing has been done yet.
_WAS_USED = re.compile(r"^(.*) was used; ")


class Said(Record, frozen=True):
    """A sentence and the sources that it rests on."""

    says: str
    sources: tuple[str, ...]


def shut_out(shown: Collection[Answer], book: RuleBook) -> tuple[Said, ...]:
    """What the label of one job forbids of another, if one of the two is shown."""
    return tuple(dict.fromkeys(_labels(shown, book)))


def order_of(answer: Answer, shown: Collection[Answer], book: RuleBook) -> tuple[Said, ...]:
    """Before which of the other jobs that are shown this one comes, and why."""
    return tuple(dict.fromkeys(_orders(answer, shown, book)))


def _labels(shown: Collection[Answer], book: RuleBook) -> Iterator[Said]:
    ids = {answer.decision.operation.id for answer in shown}
    for wait in _waits_of(shown, book):
        blocked = [book.operations[id] for id in wait.blocks if id in book.operations]
        asked = {o.id for o in blocked if not o.quiet}
        if wait.strength == "label" and asked and ids & {*wait.after, *asked}:
            says = _WAS_USED.sub(r"after \1: ", wait.says)
            yield Said(sentence(says), _sources(wait, book))


def _orders(answer: Answer, shown: Collection[Answer], book: RuleBook) -> Iterator[Said]:
    for wait in _waits_of([answer], book):
        if wait.strength == "label" or answer.decision.operation.id not in wait.blocks:
            continue
        for other in shown:
            if other.decision.operation.id in wait.after:
                why = wait.says.partition("; ")[0]
                yield Said(sentence(f"before {other.title.lower()}: {why}"), _sources(wait, book))


def _waits_of(shown: Collection[Answer], book: RuleBook) -> Iterator[Wait]:
    """The waits of the rule book that hold for the grass."""
    grasses = {answer.decision.grass for answer in shown}
    for operation in book.operations.values():
        for wait in operation.waits:
            if not wait.grasses or grasses & wait.grasses:
                yield wait


def _sources(wait: Wait, book: RuleBook) -> tuple[str, ...]:
    evidence = book.operations[wait.declared].evidence
    return source_names(evidence[name] for name in wait.evidence if name in evidence)
