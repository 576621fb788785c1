"""The order of work: which jobs come before which when both are done."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from graphlib import TopologicalSorter
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    # The rule book keeps what is reckoned here.
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
    graph = book.work_before
    found: dict[str, frozenset[str]] = {}
    for id in TopologicalSorter(graph).static_order():
        found[id] = frozenset(graph[id]).union(*(found[b] for b in graph[id]))
    return found


def in_working_order(book: RuleBook, ids: Collection[str]) -> list[str]:
    """The operations, each after those that come before it."""
    return sorted(ids, key=book.working_rank.__getitem__)


def working_rank(book: RuleBook) -> Mapping[str, int]:
    """The place of each operation in an order that keeps to all that come before."""
    order = TopologicalSorter(book.work_before).static_order()
    return {id: place for place, id in enumerate(order)}
