"""The order of work: which jobs come before which when both are done."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from graphlib import TopologicalSorter

from advisor.rulebook.model import RuleBook


def work_before(book: RuleBook) -> dict[str, tuple[str, ...]]:
    """For each operation, those that come straight before it, sorted."""
    graph: dict[str, set[str]] = {id: set(o.order.after) for id, o in book.operations.items()}
    for operation in book.operations.values():
        for later in operation.order.before:
            graph[later].add(operation.id)
    # Sorted, so that jobs of equal standing keep one order in every run.
    return {id: tuple(sorted(graph[id])) for id in sorted(graph)}


def all_before(book: RuleBook) -> Mapping[str, frozenset[str]]:
    """For each operation all that come before it, near and far."""
    graph = work_before(book)
    found: dict[str, frozenset[str]] = {}
    for id in TopologicalSorter(graph).static_order():
        found[id] = frozenset(graph[id]).union(*(found[b] for b in graph[id]))
    return found


def in_working_order(book: RuleBook, ids: Collection[str]) -> list[str]:
    """The operations, each after those that come before it."""
    return [id for id in TopologicalSorter(work_before(book)).static_order() if id in ids]
