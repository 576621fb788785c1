"""The plain reader against Kleene's printed tables and against SQLite's three-valued logic."""

from __future__ import annotations

import sqlite3
from random import Random

import pytest
from random_programs import random_case, random_tree, random_values

from advisor.decide.engine.plain import TracedGroup, deciding_leaves, group_truth, trace, truth
from advisor.rulebook.conditions import Condition, Group, Leaf, leaves

T, F, U = True, False, None

# Kleene (1952), Introduction to Metamathematics, section 64, the strong tables of "and" and "or";
# rows and columns in the order t, f, u.
AND = {(T, T): T, (T, F): F, (T, U): U, (F, T): F, (F, F): F, (F, U): F, (U, T): U, (U, F): F, (U, U): U}  # fmt: skip  # noqa: E501
OR = {(T, T): T, (T, F): T, (T, U): T, (F, T): T, (F, F): F, (F, U): U, (U, T): T, (U, F): U, (U, U): U}  # fmt: skip  # noqa: E501
NOT = {T: F, F: T, U: U}


@pytest.mark.parametrize("pair", AND)
def test_groups_follow_kleenes_tables(pair: tuple[bool | None, bool | None]) -> None:
    assert group_truth("all", pair) is AND[pair]
    assert group_truth("any", pair) is OR[pair]
    assert group_truth("none", pair) is NOT[OR[pair]]


def test_groups_of_nothing() -> None:
    assert group_truth("all", ()) is True
    assert group_truth("none", ()) is True
    assert group_truth("any", ()) is False


def test_same_truth_as_sqlite() -> None:
    """SQL's AND, OR, NOT, IN and comparisons with NULL are Kleene's logic (SQLite, "lang_expr")."""
    database = sqlite3.connect(":memory:")
    rng = Random(64)
    seen = {T: 0, F: 0, U: 0}
    for _ in range(150):
        case = random_case(rng)
        tree = random_tree(rng, case.kinds, case.limits, 3)
        for _ in range(20):
            values = random_values(rng, case, rng.choice([0, 0.1, 0.4]))
            arguments: list[object] = []
            query = f"SELECT {_sql(tree, values, arguments)}"
            (answer,) = database.execute(query, arguments).fetchone()
            found = truth(tree, values)
            assert found is (None if answer is None else bool(answer)), query
            assert trace(tree, values).truth is found
            seen[found] += 1
    assert min(seen.values()) > 200


_SQL = {"over": ">", "under": "<", "at_least": ">=", "at_most": "<=", "is": "=", "is_not": "<>"}


def _sql(tree: Condition, values: dict[str, object], arguments: list[object]) -> str:
    if isinstance(tree, Group):
        word = " AND " if tree.how == "all" else " OR "
        joined = f"({word.join(_sql(part, values, arguments) for part in tree.parts)})"
        return f"NOT {joined}" if tree.how == "none" else joined
    arguments.append(values.get(tree.fact))
    if tree.comparison == "known":
        return "? IS NOT NULL" if tree.limit else "? IS NULL"
    if isinstance(tree.limit, tuple):
        arguments.extend(tree.limit)
        marks = ",".join("?" * len(tree.limit))
        return f"? {'NOT IN' if tree.comparison == 'none_of' else 'IN'} ({marks})"
    arguments.append(tree.limit)
    return f"? {_SQL[tree.comparison]} ?"


A, B, C = (Leaf(name, "over", 1.0) for name in "abc")


@pytest.mark.parametrize(
    ("tree", "values", "facts"),
    [
        (Group("all", (A, B, C)), {"a": 2.0, "b": 0.0}, "b"),
        (Group("all", (A, B, C)), {"a": 2.0, "b": 2.0, "c": 2.0}, "abc"),
        (Group("all", (A, B, C)), {"a": 2.0}, "bc"),
        (Group("any", (A, B, C)), {"a": 2.0, "b": 0.0}, "a"),
        (Group("any", (A, B, C)), {"a": 0.0, "b": 0.0, "c": 0.0}, "abc"),
        (Group("none", (A, B, C)), {"a": 2.0, "b": 0.0}, "a"),
        (Group("none", (A, B, C)), {"a": 0.0, "b": 0.0, "c": 0.0}, "abc"),
        (Group("none", (A, B, C)), {"a": 0.0, "b": 0.0}, "c"),
        (Group("all", (A, Group("any", (B, C)))), {"a": 2.0, "b": 0.0, "c": 0.0}, "bc"),
        (Group("none", (A, Group("all", (B, C)))), {"a": 0.0, "b": 0.0, "c": 2.0}, "ab"),
    ],
)
def test_deciding_leaves(tree: Condition, values: dict[str, float], facts: str) -> None:
    assert "".join(found.leaf.fact for found in deciding_leaves(trace(tree, values))) == facts


def test_deciding_leaves_decide() -> None:
    """With only the deciding facts known, a tree keeps a truth that was known."""
    rng = Random(7)
    checked = 0
    while checked < 500:
        case = random_case(rng)
        tree = random_tree(rng, case.kinds, case.limits, 3)
        if any(leaf.comparison == "known" for leaf in leaves(tree)):
            continue
        values = random_values(rng, case, 0.2)
        traced = trace(tree, values)
        if traced.truth is not None:
            kept = {found.leaf.fact for found in deciding_leaves(traced)}
            assert truth(tree, {n: v for n, v in values.items() if n in kept}) is traced.truth
            checked += 1


def test_unknown_is_none_absent_or_not_a_number() -> None:
    for values in ({"a": None}, {}, {"a": float("nan")}):
        assert truth(A, values) is None
        assert truth(Leaf("a", "known", True), values) is False
        assert truth(Leaf("a", "known", False), values) is True
    assert isinstance(trace(Group("all", (A,)), {}), TracedGroup)
