"""What the rule book holds, and what its deciding numbers rest on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from typing import Any, get_args

from advisor.base.record import Record
from advisor.rulebook.conditions import NUMERIC, EvidenceKind, Leaf, leaves
from advisor.rulebook.facts_read import facts_read
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.model import Evidence, Grass, Operation, RuleBook

KINDS: tuple[EvidenceKind, ...] = get_args(EvidenceKind)


class OperationCoverage(Record, frozen=True):
    """Of one operation: its examples, and its deciding limits by kind of evidence."""

    examples: int
    evidence: Mapping[EvidenceKind, int]


class Coverage(Record, frozen=True):
    """Counts. evidence: limits that decide a verdict by the kind of evidence behind the number.

    by_grass: the same of the limits that a grass file states and that decide something there.
    facts_read: fact → operation → the gates that read it.
    """

    operations: int
    grasses: int
    examples: int
    evidence: Mapping[EvidenceKind, int]
    facts: int
    sources: int
    cautions: int
    by_operation: Mapping[str, OperationCoverage]
    by_grass: Mapping[str, Mapping[EvidenceKind, int]]
    facts_read: Mapping[str, Mapping[str, tuple[str, ...]]]

    @property
    def limits(self) -> int:
        """All limits that decide a verdict."""
        return sum(self.evidence.values())

    @property
    def published_share(self) -> float:
        """The part of them that rests on a publication, 0 to 1."""
        return self.evidence["published"] / self.limits if self.limits else 0.0

    def as_json(self) -> dict[str, Any]:
        """The counts as plain data."""
        return {
            "operations": self.operations,
            "grasses": self.grasses,
            "examples": self.examples,
            "limits": self.limits,
            "evidence": dict(self.evidence),
            "published_share": round(self.published_share, 4),
            "facts": self.facts,
            "sources": self.sources,
            "cautions": self.cautions,
            "by_operation": {
                id: {"examples": part.examples, "evidence": dict(part.evidence)}
                for id, part in self.by_operation.items()
            },
            "by_grass": {id: dict(kinds) for id, kinds in self.by_grass.items()},
            "facts_read": {
                fact: {id: list(gates) for id, gates in by_operation.items()}
                for fact, by_operation in self.facts_read.items()
            },
        }


def coverage(book: RuleBook) -> Coverage:
    """Count what a rule book holds.

    A limit decides a verdict if it stands in a need, a window, a readiness or a conflict; limits
    that only add advice are not counted. A rule file's own limit counts once, a limit that the
    grasses state once for each grass, however many operations use it. Each counts as the kind of
    the first evidence that it names, which is the one behind the number itself; what is cited
    after it supports or disputes it.
    """
    found = {id: _own_kinds(o) for id, o in book.operations.items()}
    of_grasses = {id: Counter(_grass_kinds(grass, book)) for id, grass in book.grasses.items()}
    total = sum((Counter(kinds) for kinds in found.values()), Counter[EvidenceKind]())
    total = sum(of_grasses.values(), total)
    return Coverage(
        operations=len(book.operations),
        grasses=len(book.grasses),
        examples=sum(len(o.examples) for o in book.operations.values()),
        evidence=_by_kind(total),
        facts=len(book.vocabulary.definitions),
        sources=len(book.sources),
        cautions=len(book.cautions),
        by_operation={
            id: OperationCoverage(len(book.operations[id].examples), _by_kind(Counter(kinds)))
            for id, kinds in found.items()
        },
        by_grass={id: _by_kind(kinds) for id, kinds in of_grasses.items()},
        facts_read=facts_read(book),
    )


def deciding_limits(operation: Operation, grass: str = "") -> Iterator[Leaf]:
    """The comparisons with a number that decide a verdict (on one grass, if one is named).

    Those with a grass's limit are among them, not yet replaced by it. What follows from a declared
    wait is not: the wait counts once, where it stands.
    """
    follows = operation.trees_of_waits()
    for name, tree in operation.trees(grass).items():
        if not name.startswith("advice.") and name not in follows:
            yield from (leaf for leaf in leaves(tree) if leaf.comparison in NUMERIC)


def _own_kinds(operation: Operation) -> list[EvidenceKind]:
    own = (x for x in deciding_limits(operation) if not isinstance(x.limit, GrassLimit))
    cited = [leaf.evidence for leaf in own] + [wait.evidence for wait in operation.waits]
    return [_kind(operation.evidence, ids) for ids in cited]


def _grass_kinds(grass: Grass, book: RuleBook) -> list[EvidenceKind]:
    """The kinds of a grass's limits that decide something on that grass."""
    used = {
        str(leaf.limit)
        for operation in book.operations.values()
        if grass.id in operation.grasses
        for leaf in deciding_limits(operation, grass.id)
        if isinstance(leaf.limit, GrassLimit)
    }
    return [_kind(grass.evidence, grass.limits[name].evidence) for name in sorted(used)]


def _kind(evidence: Mapping[str, Evidence], cited: tuple[str, ...]) -> EvidenceKind:
    return evidence[cited[0]].kind


def _by_kind(counts: Counter[EvidenceKind]) -> dict[EvidenceKind, int]:
    return {kind: counts[kind] for kind in KINDS}
