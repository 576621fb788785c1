"""The limits on which sources differ: what each says, and which number the rule uses."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.base.record import Record
from advisor.rulebook.conditions import Leaf, leaves
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.model import Evidence, RuleBook


class Disagreement(Record, frozen=True):
    """One limit with a range. owner: id of the operation or grass whose file states it.

    leaf: the condition, for an operation's limit. limit: its name and value (canonical unit), for a
    grass's. evidence: the first is the one behind the number that the rule uses.
    """

    owner: str
    name: str
    range: str
    evidence: tuple[Evidence, ...]
    leaf: Leaf | None = None
    value: float | None = None
    unit: str = ""


def disagreements(book: RuleBook) -> Iterator[Disagreement]:
    """Every limit with a range, operations first, in file order."""
    for operation in book.operations.values():
        for name, tree in operation.trees().items():
            for leaf in leaves(tree):
                if leaf.range and not isinstance(leaf.limit, GrassLimit):
                    cited = tuple(operation.evidence[id] for id in leaf.evidence)
                    yield Disagreement(operation.id, name, leaf.range, cited, leaf)
    for grass in book.grasses.values():
        for name, limit in grass.limits.items():
            if limit.range:
                cited = tuple(grass.evidence[id] for id in limit.evidence)
                yield Disagreement(
                    grass.id, name, limit.range, cited, value=limit.value, unit=limit.unit
                )
