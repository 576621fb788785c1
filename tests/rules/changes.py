"""Small changes to rules: a limit moved, a condition dropped. Each should break an example."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from advisor.base.record import replace
from advisor.rulebook.conditions import NUMERIC, Condition, Group, Leaf, leaves
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.model import Example, Operation, RuleBook, Window
from advisor.rulebook.prove import ExampleJudge, outcome, resolved

Move = Literal["down", "up", "drop"]

TEMPERATURE_STEP_C = 3.0
"""Ten per cent of a temperature means nothing; this is a step that a keeper would notice."""
SHARE = 0.1


@dataclass(frozen=True)
class Change:
    """One condition of one tree of an operation, and what is done to it."""

    operation: str
    tree: str
    path: str
    move: Move

    def __str__(self) -> str:
        return f"{self.operation}: {self.tree} {self.path} {self.move}"


def moved(limit: float, unit: str, move: Move) -> float:
    """The limit moved by ten per cent, by 3 °C, or by at least one whole day or count."""
    step = abs(limit) * SHARE
    if unit == "°C":
        step = TEMPERATURE_STEP_C
    elif unit in ("d", ""):
        step = max(step, 1.0)
    return limit + step if move == "up" else limit - step


def changes(operation: Operation) -> Iterator[Change]:
    """Every limit up and down, and every condition dropped; test_waits.py does those of waits."""
    follows = operation.trees_of_waits()
    for name, tree in operation.trees().items():
        if name in follows:
            continue
        for leaf in leaves(tree):
            if leaf.comparison in NUMERIC:
                yield Change(operation.id, name, leaf.path, "down")
                yield Change(operation.id, name, leaf.path, "up")
            yield Change(operation.id, name, leaf.path, "drop")


def noticed(change: Change, book: RuleBook, judge: ExampleJudge) -> bool:
    """Whether at least one example of the operation comes out otherwise."""
    operation = book.operations[change.operation]
    for example in operation.examples:
        if not _sees(example, change.tree):
            continue
        concrete = resolved(operation, example, book)
        tree = concrete.trees().get(change.tree)
        if tree is None:
            continue
        changed = with_tree(concrete, change.tree, changed_tree(tree, change, book))
        if found(changed, example, judge) != example.expect:
            return True
    return False


def found(operation: Operation, example: Example, judge: ExampleJudge) -> str:
    """What the example comes to on an operation that is already resolved for its grass."""
    if not example.of:
        return judge.verdict(operation, example)
    truth = judge.truth(operation.trees()[example.of], example.facts)
    return "unknown" if truth is None else str(truth).lower()


def changed_tree(tree: Condition, change: Change, book: RuleBook) -> Condition:
    """The tree with the change made to it."""
    if change.move == "drop":
        kept = _without(tree, change.path)
        if kept is not None:
            return kept
        # Nothing left: nothing is asked for, or nothing forbids and nothing closes.
        closes = change.tree.startswith("conflict.") or change.tree.endswith(".closes")
        return Group("any" if closes else "all", ())
    return _with_moved_limit(tree, change, book)


def used_limits(book: RuleBook, grass: str) -> frozenset[str]:
    """The names of the limits that decide something on a grass."""
    suited = (o for o in book.operations.values() if grass in o.grasses)
    trees = (tree for o in suited for tree in o.trees(grass).values())
    found = (x.limit for tree in trees for x in leaves(tree) if isinstance(x.limit, GrassLimit))
    return frozenset(map(str, found))


def grass_change_noticed(
    grass: str, name: str, move: Move, book: RuleBook, judge: ExampleJudge
) -> bool:
    """Whether an example of that grass comes out otherwise once its limit is moved."""
    before = book.grasses[grass]
    limit = before.limits[name]
    other = replace(limit, value=moved(limit.value, limit.unit, move))
    changed = replace(before, limits={**before.limits, name: other})
    elsewhere = replace(book, grasses={**book.grasses, grass: changed})
    return any(
        outcome(operation, example, elsewhere, judge) != example.expect
        for operation in book.operations.values()
        for example in operation.examples
        if example.grass == grass
    )


def _sees(example: Example, tree: str) -> bool:
    if example.of:
        return example.of == tree
    return tree in ("need", "ready") or tree.startswith("conflict.")


def _without(tree: Condition, path: str) -> Condition | None:
    if isinstance(tree, Leaf):
        return None if tree.path == path else tree
    parts = tuple(p for part in tree.parts if (p := _without(part, path)) is not None)
    return replace(tree, parts=parts) if parts else None


def _with_moved_limit(tree: Condition, change: Change, book: RuleBook) -> Condition:
    if isinstance(tree, Group):
        parts = tuple(_with_moved_limit(part, change, book) for part in tree.parts)
        return replace(tree, parts=parts)
    if tree.path != change.path:
        return tree
    assert isinstance(tree.limit, float)
    limit = moved(tree.limit, book.vocabulary[tree.fact].unit, change.move)
    return replace(tree, limit=limit)


def with_tree(operation: Operation, name: str, tree: Condition) -> Operation:
    """The operation with the tree of that name (see `Operation.trees`) exchanged for another."""
    part, _, rest = name.partition(".")
    if part == "need":
        return replace(operation, need=tree)
    if part == "ready":
        return replace(operation, ready=tree)
    if part == "conflict":
        conflicts = (replace(c, when=tree) if c.id == rest else c for c in operation.conflicts)
        return replace(operation, conflicts=tuple(conflicts))
    # Windows and advice are asked about by name only, never through the verdict of an example.
    return replace(
        operation,
        windows=tuple(_window_with(w, rest, tree) for w in operation.windows),
        advice=tuple(
            replace(a, when=tree) if f"advice.{a.id}" == name else a for a in operation.advice
        ),
    )


def _window_with(window: Window, name: str, tree: Condition) -> Window:
    id, _, piece = name.rpartition(".")
    if window.id != id:
        return window
    if piece == "opens":
        return replace(window, opens=tree)
    return replace(window, closes=tree) if piece == "closes" else replace(window, best=tree)
