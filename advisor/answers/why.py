"""The full trace of a decision: each condition of each gate, and what it rests on."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from advisor.answers.reasons import is_disputed
from advisor.answers.words import Words, sentence
from advisor.base.dates import say_date
from advisor.decide.engine.plain import Traced, TracedGroup, TracedLeaf, deciding_leaves, trace
from advisor.decide.verdicts.decide import Decision
from advisor.facts.fact import Fact, FactDefinition, Vocabulary
from advisor.rulebook.conditions import Condition, Evidence

_TRUTH = {True: "yes", False: "no", None: "not known"}
_GROUPED = {"all": "All of these", "any": "Any of these", "none": "None of these"}

Line = tuple[int, str]
"""A depth, 0 for a gate, and a text."""


def why_lines(decision: Decision, vocabulary: Vocabulary, words: Words) -> tuple[Line, ...]:
    """Need, every season, readiness and every conflict of the operation as nested lines.

    Seasons are read with today's facts; the dates of an answer come from all years of weather.
    """
    found: list[Line] = []
    for title, tree, cites in _gates(decision):
        traced = trace(tree, decision.values)
        found.append((0, f"{title}: {_TRUTH[traced.truth]}"))
        found += [(1, f"Rests on: {_said(e)}") for e in cites]
        deciding = {id(leaf.leaf) for leaf in deciding_leaves(traced)}
        found += _lines(traced, 1, deciding, decision, vocabulary, words)
    return tuple(found)


def _gates(decision: Decision) -> Iterator[tuple[str, Condition, tuple[Evidence, ...]]]:
    operation, known = decision.operation, decision.operation.evidence
    yield "Need", operation.need, ()
    for window in operation.windows:
        cites = tuple(known[id] for id in window.evidence if id in known)
        yield f"Season ({window.title}) opens", window.opens, cites
        if window.closes is not None:
            yield f"Season ({window.title}) closes", window.closes, ()
        if window.best is not None:
            yield f"Season ({window.title}) at its best", window.best, ()
    yield "Ready", operation.ready, ()
    for conflict in operation.conflicts:
        cites = tuple(known[id] for id in conflict.evidence if id in known)
        yield f"Conflict, {conflict.strength} ({conflict.says})", conflict.when, cites


def _lines(
    traced: Traced,
    depth: int,
    deciding: set[int],
    decision: Decision,
    vocabulary: Vocabulary,
    words: Words,
) -> Iterator[Line]:
    if isinstance(traced, TracedGroup):
        yield depth, f"{_GROUPED[traced.group.how]}: {_TRUTH[traced.truth]}"
        for part in traced.parts:
            yield from _lines(part, depth + 1, deciding, decision, vocabulary, words)
        return
    leaf, definition = traced.leaf, vocabulary[traced.leaf.fact]
    mark = ", decides" if id(leaf) in deciding else ""
    found = _found(traced, definition, decision.facts, words)
    yield depth, f"{words.condition(leaf, definition)}: {_TRUTH[traced.truth]}{mark}. {found}"
    if leaf in decision.close:
        yield depth + 1, "Too close to call: nearer to the limit than readings differ."
    yield from ((depth + 1, line) for line in _basis(traced, definition, decision, words))


def _found(
    traced: TracedLeaf, definition: FactDefinition, facts: Mapping[str, Fact], words: Words
) -> str:
    """The value with where it comes from and when."""
    name = traced.leaf.fact
    fact = facts.get(name)
    value = words.value(traced.value, definition)
    if name.startswith("intended."):
        return f"It is {value}, from the rules of that job."
    if fact is None:
        return f"It is {value}."
    day = f" {say_date(fact.on)} {fact.on.year}" if fact.on is not None else ""
    note = f" ({fact.note})" if fact.note else ""
    if traced.value is None:
        return f"It is {value}{note}."
    return f"It is {value}, {fact.basis}{day}{note}."


def _basis(
    traced: TracedLeaf, definition: FactDefinition, decision: Decision, words: Words
) -> Iterator[str]:
    """The evidence of a condition. Where sources differ: who says what, and which one is used."""
    leaf = traced.leaf
    known = decision.operation.evidence
    cited = [known[id] for id in leaf.evidence if id in known]
    if not leaf.range:
        yield from (f"Rests on: {_said(e)}" for e in cited)
        return
    here = (
        " Here they would decide differently."
        if is_disputed(leaf, traced.value, definition)
        else ""
    )
    yield f"{sentence(f'Sources differ: {leaf.range}')}{here}"
    limit = words.limit(leaf, definition)
    for i, evidence in enumerate(cited):
        yield f"{f'The rule uses {limit}, on' if i == 0 else 'Also'}: {_said(evidence)}"


def _said(evidence: Evidence) -> str:
    """Kind, authors, year, title, where, and what it says."""
    said = str(evidence)
    if evidence.source is not None:
        says = f": {evidence.says}" if evidence.says else ""
        said = f"{evidence.kind.replace('_', ' ')}, {evidence}{says}"
    return said.rstrip(".") + "."
