"""Pairs of jobs, both advised for one lawn and day, that no order of work reconciles."""

from __future__ import annotations

import random
from collections.abc import Iterator, Mapping
from itertools import combinations
from types import SimpleNamespace
from typing import Any, cast

from grid import busy_keeper

from advisor.decide.verdicts.decide import Decider, Decision
from advisor.facts.fact import Value
from advisor.planning.exclusions import forbidden_after
from advisor.rulebook.model import RuleBook

SOWINGS = frozenset({"overseeding", "new_seeding", "spring_seeding", "dormant_seeding"})
RENEWED = frozenset({"new_seeding", "patch_repair"})
"""Seed for the same ground, of which only one goes down. Spots may be filled before overseeding."""
RECENT = 0.3
"""Share of the noted dates of past work that a busy keeper keeps; the rest was never noted."""


def greedy_keeper(book: RuleBook, grass: str, rng: random.Random) -> dict[str, Value | None]:
    """A busy keeper with every wish on record, or with half of them, and with some past work."""
    facts = busy_keeper(book, grass, rng)
    for name in sorted(facts):
        if name.startswith("days_since.") and rng.random() > RECENT:
            del facts[name]
    wishes = rng.choice((1.0, 0.5))
    wanted = {f"wanted.{id}": True for id in book.operations if rng.random() < wishes}
    return facts | wanted


def forbids(first: Decision, then: Decision) -> str:
    """Why the second job may not follow the first, as the rule files say; empty if it may."""
    wanted = cast(Any, SimpleNamespace(decision=then, operation=then.operation))
    return forbidden_after(wanted, first.operation.id)


def excluding(
    decider: Decider, before: Mapping[str, frozenset[str]]
) -> Iterator[tuple[str, str, str]]:
    """Both jobs and the reason. before: what the rule files put before each operation.

    The order of work decides which is done first; where it says nothing, either may be.
    """
    done = [decider.decide(id) for id in decider.operations()]
    for a, b in combinations([d for d in done if d.verdict == "do"], 2):
        orders = [
            (first, then)
            for first, then in ((a, b), (b, a))
            if then.operation.id not in before[first.operation.id]
        ]
        reasons = [forbids(first, then) for first, then in orders]
        pair = {a.operation.id, b.operation.id}
        if pair <= SOWINGS or pair <= RENEWED:
            yield a.operation.id, b.operation.id, "seed for the same ground twice"
        elif all(reasons):
            yield a.operation.id, b.operation.id, reasons[0]
