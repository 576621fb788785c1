"""The order of the autumn's work, and what the jobs may know of each other."""

from __future__ import annotations

from graphlib import TopologicalSorter

import pytest

from advisor.decide.engine.plain import truth
from advisor.decide.verdicts.judge import binding_tree
from advisor.rulebook.conditions import Leaf, facts_of
from advisor.rulebook.model import Conflict, RuleBook

AUTUMN = (
    "low_mow", "thatch_removal", "core_aeration", "overseeding", "feeding", "winter_care",
)  # fmt: skip


def before(book: RuleBook) -> dict[str, set[str]]:
    graph: dict[str, set[str]] = {id: set(o.order.after) for id, o in book.operations.items()}
    for operation in book.operations.values():
        for later in operation.order.before:
            graph[later].add(operation.id)
    return graph


def comes_before(first: str, then: str, graph: dict[str, set[str]]) -> bool:
    return first in graph[then] or any(comes_before(first, x, graph) for x in graph[then])


@pytest.mark.parametrize("place", range(len(AUTUMN) - 1))
def test_the_autumn_in_order(place: int, book: RuleBook) -> None:
    assert comes_before(AUTUMN[place], AUTUMN[place + 1], before(book))


@pytest.mark.parametrize(
    ("first", "then"),
    [
        ("low_mow", "clippings"),
        ("clippings", "thatch_removal"),
        ("leaf_litter", "dormant_seeding"),
        ("leaf_litter", "winter_care"),
        # After the seed rake and mower stay away for weeks, as the conflicts of both jobs say; in
        # one and the same week they come before it.
        ("leaf_litter", "overseeding"),
        ("mowing", "overseeding"),
        ("mowing", "feeding"),
        ("overseeding", "seedling_watering"),
    ],
)
def test_what_else_comes_first(first: str, then: str, book: RuleBook) -> None:
    assert comes_before(first, then, before(book))


def test_no_circles(book: RuleBook) -> None:
    assert len(list(TopologicalSorter(before(book)).static_order())) == len(book.operations)


def test_jobs_know_only_intentions_and_days(book: RuleBook) -> None:
    told = {"intended", "days_since", "wanted", "days_to", "wait_reaches"}
    for operation in book.operations.values():
        for tree in operation.trees().values():
            families = {name.partition(".")[0] for name in facts_of(tree) if "." in name}
            assert families <= told


def test_a_caution_that_asks_whether_something_is_known_can_bind(book: RuleBook) -> None:
    """Seedlings of two weeks whose height nobody took keep the mower off."""
    (young,) = (c for c in book.operations["mowing"].conflicts if c.id == "seedlings_young")
    tree = binding_tree(young)
    assert truth(tree, {"days_since.overseeding": 14.0}) is True
    assert truth(tree, {"days_since.overseeding": 14.0, "seedling_height": 80.0}) is False
    assert truth(tree, {}) is False


def test_a_caution_binds_only_when_what_it_compares_is_known() -> None:
    tree = binding_tree(Conflict("x", Leaf("stand_age", "under", 365.0), "young", "caution"))
    assert truth(tree, {"stand_age": 100.0}) is True
    assert truth(tree, {}) is False
    label = binding_tree(Conflict("x", Leaf("stand_age", "under", 365.0), "young", "label"))
    assert truth(label, {}) is None
