"""Which comparison made a tree what it is. Truth of groups: Kleene 1952, section 64."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest

from advisor.replay.deciders import Decisions
from advisor.rulebook.conditions import Condition, Group, Leaf

A, B = Leaf("a", "over", 0.5), Leaf("b", "over", 0.5)
#            0  1  2  3  4  5  6  7
SERIES = {"a": [0, 0, 1, 1, 1, 0, 1, 1], "b": [0, 0, 0, 0, 1, 1, 1, 0]}


def decisions() -> Decisions:
    arrays = {name: np.array([days], dtype=float) for name, days in SERIES.items()}
    facts = SimpleNamespace(axis=SimpleNamespace(shape=(1, 8)), series=arrays.__getitem__)
    return Decisions(facts, {})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("tree", "day", "expected"),
    [
        (Group("all", (A, B)), 4, {"b"}),  # true: b came last
        (Group("all", (A, B)), 6, {"a"}),  # true again: this time a was missing
        (Group("all", (A, B)), 2, {"b"}),  # false: b alone makes it so
        (Group("any", (A, B)), 3, {"a"}),  # true: only a holds
        (Group("any", (A, B)), 4, {"a"}),  # true: a has held longer
        (Group("any", (A, B)), 1, {"a", "b"}),  # false: both were missing from the start
        (Group("none", (A, B)), 1, {"a", "b"}),  # true: neither holds
        (Group("none", (A, B)), 3, {"a"}),  # false: a holds
        (Group("all", (A, Group("none", (B,)))), 7, {"b"}),  # true: b went last
        (Group("any", (Group("all", (A, B)), B)), 5, {"b"}),
    ],
)
def test_the_last_one_missing_decides(tree: Condition, day: int, expected: set[str]) -> None:
    assert {leaf.fact for leaf in decisions().deciders(tree, day)} == expected


@pytest.mark.parametrize("how", ["all", "any", "none"])
@pytest.mark.parametrize("day", range(8))
def test_a_decider_flipped_with_its_like_flips_the_tree(how: str, day: int) -> None:
    """Where one part suffices each decider does; where all are needed the tree falls with it."""
    tree = Group(how, (A, B))  # type: ignore[arg-type]
    values = {name: bool(days[day]) for name, days in SERIES.items()}

    def truth(given: dict[str, bool]) -> bool:
        return {"all": all, "any": any, "none": lambda v: not any(v)}[how](given.values())

    deciders = {leaf.fact for leaf in decisions().deciders(tree, day)}
    assert deciders
    others = {name: not value for name, value in values.items() if name not in deciders}
    needed = truth(values) == (how != "any")
    if needed:  # taking away any one decider changes it
        assert all(truth({**values, name: not values[name]}) != truth(values) for name in deciders)
    else:  # whatever the others are, it stays
        assert truth({**values, **others}) == truth(values)


def test_a_run_begins_after_the_last_other_truth() -> None:
    assert [decisions().since(A, day) for day in range(8)] == [0, 0, 2, 2, 2, 5, 6, 6]
