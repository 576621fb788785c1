"""Which operation reads which fact, and in which of its gates."""

from __future__ import annotations

from advisor.rulebook.conditions import facts_of
from advisor.rulebook.model import RuleBook

GATES = {
    "need": "need", "windows": "season", "ready": "ready", "conflict": "conflict",
    "advice": "advice",
}  # fmt: skip
"""The first part of a tree's name, and the gate in words, in the order of an answer."""


def facts_read(book: RuleBook) -> dict[str, dict[str, tuple[str, ...]]]:
    """Fact → operation → the gates that read it, both in the order of the rule book."""
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    for operation in book.operations.values():
        for name, tree in operation.trees().items():
            gate = GATES[name.partition(".")[0]]
            for fact in sorted(facts_of(tree)):
                by_operation = found.setdefault(fact, {})
                before = by_operation.get(operation.id, ())
                by_operation[operation.id] = tuple(dict.fromkeys((*before, gate)))
    order = {name: i for i, name in enumerate(book.vocabulary)}
    return dict(sorted(found.items(), key=lambda item: order[item[0]]))
