"""The inline examples of a rule file: do they come out, and does each condition decide one?

The judge is handed in, so that the rule book knows nothing of the engine.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import replace
from typing import Protocol

from advisor.base.problems import Place, Problems, did_you_mean
from advisor.rulebook.conditions import Condition, Group, Leaf, Truth, leaves
from advisor.rulebook.model import Example, Operation, RuleBook, Window

Facts = Mapping[str, float | bool | str | None]


class ExampleJudge(Protocol):
    """Says what an operation, resolved for a grass, makes of an example's facts."""

    def verdict(self, operation: Operation, example: Example) -> str:
        """The verdict word."""

    def truth(self, tree: Condition, facts: Facts) -> Truth:
        """The truth of one tree."""


def outcome(operation: Operation, example: Example, book: RuleBook, judge: ExampleJudge) -> str:
    """What the example comes to: a verdict, or `true`, `false` or `unknown` of one tree."""
    return _outcome(resolved(operation, example, book), example, judge)


def resolved(operation: Operation, example: Example, book: RuleBook) -> Operation:
    """The operation for the example's grass."""
    return operation.for_grass(book.grasses[example.grass])


def check_examples(book: RuleBook, judge: ExampleJudge, trials: ExampleJudge | None = None) -> None:
    """Raise `BadInput` for each example that fails and each condition that decides none.

    `judge` says what each example comes to; `trials`, a quicker judge of the same mind, the
    thousands of changed trees behind the second question. Without it `judge` does both.
    """
    problems = Problems()
    for operation in book.operations.values():
        deciding: set[str] = set()
        by_grass: dict[str, Operation] = {}
        for example in operation.examples:
            place = example.place or Place(operation.id)
            if example.grass not in by_grass:
                by_grass[example.grass] = resolved(operation, example, book)
            concrete = by_grass[example.grass]
            if example.of and example.of not in concrete.trees():
                problems.add(place, _no_tree(operation, example))
                continue
            found = _outcome(concrete, example, judge)
            if found != example.expect:
                what = f"example '{example.name}' came to '{found}', expected '{example.expect}'"
                problems.add(place, what)
            deciding |= set(deciding_paths(concrete, example, trials or judge, deciding))
        for leaf in _all_leaves(operation):
            if leaf.path not in deciding and leaf.place is not None:
                what = f"no example shows the condition on '{leaf.fact}' deciding; add one"
                problems.add(leaf.place, what)
    problems.raise_if_any()


def _no_tree(operation: Operation, example: Example) -> str:
    name = f"example '{example.name}'"
    if example.of in operation.trees():
        return f"{name}: '{example.of}' is not said to keepers of {example.grass}"
    return f"{name}: no tree '{example.of}'{did_you_mean(example.of, operation.trees())}"


def deciding_paths(
    operation: Operation, example: Example, judge: ExampleJudge, but: Collection[str] = ()
) -> Iterator[str]:
    """Paths of the leaves without which the example would come out otherwise.

    A leaf decides if forcing it to the opposite truth changes the outcome. Those in `but` are
    known to decide some example, and are not tried again.
    """
    before = _outcome(operation, example, judge)
    for name, tree in operation.trees().items():
        # A verdict is asked with the state of its window given, and advice follows after it.
        if name != example.of if example.of else name.startswith(("windows.", "advice.")):
            continue
        as_is = judge.truth(tree, example.facts)
        for leaf in leaves(tree):
            if leaf.path in but:
                continue
            now = judge.truth(leaf, example.facts)
            for forced in {True, False} - {now}:
                trial = _forced(tree, leaf, forced)
                # A conflict binds by which facts are known too, so its truth alone tells nothing.
                if not name.startswith("conflict.") and (
                    judge.truth(trial, example.facts) == as_is
                ):
                    continue
                if _outcome(with_tree(operation, name, trial), example, judge) != before:
                    yield leaf.path
                    break


def _outcome(operation: Operation, example: Example, judge: ExampleJudge) -> str:
    if not example.of:
        return judge.verdict(operation, example)
    truth = judge.truth(operation.trees()[example.of], example.facts)
    return "unknown" if truth is None else str(truth).lower()


def _all_leaves(operation: Operation) -> Iterator[Leaf]:
    for tree in operation.trees().values():
        yield from leaves(tree)


def _forced(tree: Condition, leaf: Leaf, truth: bool) -> Condition:
    """The tree with one leaf replaced by a constant: `known` is never unknown."""
    if isinstance(tree, Group):
        return replace(tree, parts=tuple(_forced(part, leaf, truth) for part in tree.parts))
    if tree.path != leaf.path:
        return tree
    certain = Leaf(tree.fact, "known", True, path=tree.path)
    doubtful = Leaf(tree.fact, "known", False, path=tree.path)
    return Group("any" if truth else "all", (certain, doubtful))


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
