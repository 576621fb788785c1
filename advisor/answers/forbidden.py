"""What a record of work rules out from then on, and until when, read off the rule book itself.

A job is ruled out for so long as one of its conflicts holds, or its need is met, by nothing but the
days since the recorded work; or by a wait that goes by the ingredient of a weed preventer.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping
from itertools import groupby

from advisor.base.dates import ONE_DAY, say_date
from advisor.base.record import Record
from advisor.decide.engine.plain import group_truth, truth
from advisor.facts.spread_facts import SOWING
from advisor.rulebook.conditions import NUMERIC, Condition, Leaf, Truth, facts_of, leaves
from advisor.rulebook.model import Conflict, Operation, RuleBook

LABEL_WAIT = "seeding_wait_left"
"""The fact that a wait by the ingredient of a weed preventer reads."""
SHORT_DAYS = 7
"""What is over in less than a week (the next mowing, the next watering) needs no asking: our
choice. Longer, a wrong record costs a season's work."""
_TOLD_AT_MOST = 3


class Forbidden(Record, frozen=True):
    """job: as said within a sentence. until: the first free day; None where only a label tells."""

    operation: str
    job: str
    until: dt.date | None


def forbidden_by(
    book: RuleBook,
    work: str,
    done_on: dt.date,
    today: dt.date,
    grasses: Collection[str],
    label_wait: float | None = None,
    *,
    only_label: bool = False,
) -> tuple[Forbidden, ...]:
    """The jobs that the work rules out after today for a week or more; its own first.

    grasses: those of the lawn; empty where none is known, for all of them. label_wait: days of the
    weed preventer put down, if its ingredient is known. only_label: only what waits for that.
    """
    found = []
    by_label = {
        wait.name
        for operation in book.operations.values()
        for wait in operation.waits
        if wait.days is None and work in wait.after
    }
    for operation in book.operations.values():
        called = operation.id.replace("_", " ")
        spoken = book.vocabulary.spoken.get(operation.id, called).removeprefix("a ")
        days = 0 if only_label else max(_days(operation, book, work, grasses), default=0)
        if any(
            c.wait in by_label and LABEL_WAIT in facts_of(c.when)
            for c in _conflicts(operation, book, grasses)
        ):
            if label_wait is None:
                found.append(Forbidden(operation.id, spoken, None))
                continue
            days = max(days, round(label_wait))
        until = done_on + ONE_DAY * days
        if days >= SHORT_DAYS and until > today:
            found.append(Forbidden(operation.id, spoken, until))
    found.sort(key=lambda f: f.until or dt.date.max, reverse=True)
    return tuple(sorted(found, key=lambda f: f.operation != work))


def say_forbidden(forbidden: Collection[Forbidden], today: dt.date) -> str:
    """`no lime until 4 Jan 2027 and no feeding until 13 Sep`; empty for nothing."""
    told = list(forbidden)[:_TOLD_AT_MOST]
    parts = []
    for until, alike in groupby(told, key=lambda f: f.until):
        jobs = " or ".join(f.job for f in alike)
        end = "its label allows" if until is None else say_date(until, relative_to=today)
        parts.append(f"no {jobs} until {end}")
    more = len(forbidden) - len(told)
    if more:
        parts.append(f"a wait for {more} more {'jobs' if more > 1 else 'job'}")
    return " and ".join(filter(None, (", ".join(parts[:-1]), *parts[-1:])))


def _days(
    operation: Operation, book: RuleBook, work: str, grasses: Collection[str]
) -> Iterator[int]:
    facts = {f"days_since.{work}"} | ({"seed_age"} if work.endswith(SOWING) else set())
    for grass in _of(operation, book, grasses):
        own, traits = operation.for_grass(book.grasses[grass]), book.grasses[grass].traits
        yield _longest(own.need, facts, traits, met={False})
        for conflict in own.conflicts:
            # A label or a law binds even while its other facts are unknown.
            binds = {True} if conflict.strength == "caution" else {True, None}
            if facts & facts_of(conflict.when):
                yield _longest(conflict.when, facts, traits, met=binds)


def _conflicts(
    operation: Operation, book: RuleBook, grasses: Collection[str]
) -> Iterator[Conflict]:
    for grass in _of(operation, book, grasses):
        yield from operation.for_grass(book.grasses[grass]).conflicts


def _of(operation: Operation, book: RuleBook, grasses: Collection[str]) -> list[str]:
    admitted = operation.grasses or frozenset(book.grasses)
    return sorted(admitted & frozenset(grasses or book.grasses))


def _longest(
    tree: Condition,
    facts: Collection[str],
    traits: Mapping[str, str],
    met: Collection[Truth],
) -> int:
    """For how many days the tree comes to one of `met` by nothing but the days since the work.

    0 where time alone does not lift it: the work then calls for the job rather than forbids it.
    """
    if _settled(tree, {**traits, **dict.fromkeys(facts, float("inf"))}) in met:
        return 0
    limits = {
        int(leaf.limit)
        for leaf in leaves(tree)
        if leaf.fact in facts and leaf.comparison in NUMERIC and isinstance(leaf.limit, float | int)
    }
    for day in sorted({d for limit in limits for d in (limit, limit - 1)}, reverse=True):
        if _settled(tree, {**traits, **dict.fromkeys(facts, float(day))}) in met:
            return day + 1
    return 0


def _settled(tree: Condition, values: Mapping[str, float | str]) -> Truth:
    """The truth of a tree, None where it hangs on a fact not given, be it known or not."""
    if isinstance(tree, Leaf):
        return truth(tree, values) if tree.fact in values else None
    return group_truth(tree.how, [_settled(part, values) for part in tree.parts])
