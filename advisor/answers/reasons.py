"""Why: each comparison behind a verdict, with its value, its limit and its evidence."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator
from typing import Literal

from advisor.answers.words import Words
from advisor.base.record import Record, replace
from advisor.decide.engine.plain import (
    Traced,
    TracedGroup,
    TracedLeaf,
    deciding_leaves,
    trace,
    truth,
)
from advisor.decide.verdicts.decide import Decision
from advisor.facts.fact import FactDefinition, Value, Vocabulary
from advisor.rulebook.conditions import NUMERIC, Condition, Leaf, Truth, numbers_in
from advisor.rulebook.model import Evidence


def is_disputed(leaf: Leaf, value: Value | None, definition: FactDefinition) -> bool:
    """Whether a limit that the condition's `range` names would turn the comparison.

    False where the value is unknown, or the range names no number in the fact's unit.
    """
    if leaf.comparison not in NUMERIC or not leaf.range or value is None:
        return False
    values = {leaf.fact: value}
    as_is = truth(leaf, values)
    others = numbers_in(leaf.range, definition.unit)
    return any(truth(replace(leaf, limit=other), values) != as_is for other in others)


GateName = Literal["need", "window", "ready", "conflict"]

_SHOWN: dict[str, tuple[GateName, ...]] = {
    "do": ("need", "window", "ready"),
    "wait": ("need", "window"),
    "hold": ("need", "conflict", "ready"),
    "not_needed": ("need",),
    "missed": ("window", "need"),
    "ruled_out": ("conflict", "need"),
    "measure": ("need", "conflict", "ready"),
}
"""Which gates' deciding comparisons a reader is shown, in this order."""


class Reason(Record, frozen=True):
    """One comparison. part: the tree it stands in. deciding: it carries its tree's truth.

    about_knowing: it only asks whether the fact is known, which is no reason to tell a reader.
    disputed: a limit that other sources name would have turned it.
    """

    gate: GateName
    part: str
    fact: str
    value: str | bool | None
    limit: str
    holds: Truth
    says: str
    basis: str
    on: dt.date | None
    range: str
    evidence: tuple[Evidence, ...]
    deciding: bool
    about_knowing: bool
    disputed: bool = False


def all_reasons(
    decision: Decision,
    vocabulary: Vocabulary,
    words: Words,
    gates: Collection[GateName] = ("need", "window", "ready", "conflict"),
) -> tuple[Reason, ...]:
    """Every comparison of some gates and of the window that the outlook speaks of."""
    return tuple(
        reason
        for gate, part, tree in _trees(decision)
        if gate in gates
        for reason in _of_tree(gate, part, tree, decision, vocabulary, words)
    )


def telling_reasons(decision: Decision, vocabulary: Vocabulary, words: Words) -> tuple[Reason, ...]:
    """Those that a reader needs to see why the verdict is what it is, most important first.

    What the keeper wrote into the site file, such as the grass, comes after what was found out.
    """
    told: dict[str, Reason] = {}
    gates = _SHOWN["ruled_out" if decision.forbidden_ahead else decision.verdict]
    reasons = all_reasons(decision, vocabulary, words, gates)
    for gate in gates:
        for reason in sorted(reasons, key=lambda r: r.basis == "stated"):
            if reason.gate == gate and reason.deciding and _matters(decision, reason):
                told.setdefault(reason.says, reason)
    return tuple(told.values())


def _matters(decision: Decision, reason: Reason) -> bool:
    verdict = decision.verdict
    if reason.about_knowing:
        return False
    if reason.gate == "window":
        return reason.part in {"wait": ("opens",), "missed": ("closes",)}.get(
            verdict, ("closes", "best")
        )
    if verdict == "measure":
        return reason.holds is None and not _only_cautions(decision, reason)
    if reason.gate == "ready" and verdict == "hold":
        return reason.holds is False
    if reason.gate == "conflict":
        return reason.holds is True
    return reason.holds is not None


def _only_cautions(decision: Decision, reason: Reason) -> bool:
    """A caution whose facts are unknown does not stop the work, so it is no reason to measure."""
    strengths = {c.id: c.strength for c in decision.operation.conflicts}
    return reason.gate == "conflict" and strengths.get(reason.part) == "caution"


def _trees(decision: Decision) -> Iterator[tuple[GateName, str, Condition]]:
    operation = decision.operation
    yield "need", "need", operation.need
    current = decision.outlook.current
    if current is not None:
        yield "window", "opens", current.window.opens
        if current.window.closes is not None:
            yield "window", "closes", current.window.closes
        if current.window.best is not None:
            yield "window", "best", current.window.best
    yield "ready", "ready", operation.ready
    for conflict in operation.conflicts:
        yield "conflict", conflict.id, conflict.when


def _of_tree(
    gate: GateName,
    part: str,
    tree: Condition,
    decision: Decision,
    vocabulary: Vocabulary,
    words: Words,
) -> Iterator[Reason]:
    traced = trace(tree, decision.values)
    deciding = {id(found.leaf) for found in deciding_leaves(traced)}
    for found in _leaves(traced):
        leaf, definition = found.leaf, vocabulary[found.leaf.fact]
        fact = decision.facts.get(leaf.fact)
        value = found.value
        yield Reason(
            gate=gate,
            part=part,
            fact=leaf.fact,
            value=value
            if value is None or isinstance(value, bool)
            else words.value(value, definition),
            limit=words.limit(leaf, definition),
            holds=found.truth,
            says=words.leaf(leaf, value, found.truth, definition),
            basis=fact.basis if fact else "computed",
            on=fact.on if fact else decision.on,
            range=leaf.range,
            evidence=_evidence(leaf, decision),
            deciding=id(leaf) in deciding,
            about_knowing=leaf.comparison == "known"
            and not (leaf.says if found.truth else leaf.otherwise),
            disputed=is_disputed(leaf, value, definition),
        )


def disputes(told: Iterable[Reason], vocabulary: Vocabulary) -> tuple[str, ...]:
    """One line for each limit that decides, and that sources would judge differently here.

    Whether a day is among the best decides nothing, and an opening to come is not decided by
    today's value: both are left to the full trace.
    """
    return tuple(
        f"sources differ on {vocabulary[r.fact].title}: {r.range}. The rule uses {r.limit}"
        for r in told
        if r.disputed and r.part not in ("best", "opens")
    )


def cited(reasons: Iterable[Reason]) -> tuple[str, ...]:
    """What the reasons rest on, in words, each once."""
    return tuple(dict.fromkeys(str(e) for reason in reasons for e in reason.evidence))


def _leaves(traced: Traced) -> Iterator[TracedLeaf]:
    if isinstance(traced, TracedGroup):
        for part in traced.parts:
            yield from _leaves(part)
    else:
        yield traced


def _evidence(leaf: Leaf, decision: Decision) -> tuple[Evidence, ...]:
    known = decision.operation.evidence
    return tuple(known[id] for id in leaf.evidence if id in known)
