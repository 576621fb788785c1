"""The inline examples of a rule file: do they come out, and does each condition decide one?

The judge is handed in, so that the rule book knows nothing of the engine.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import Protocol

from advisor.base.problems import Place, Problems, did_you_mean
from advisor.rulebook.conditions import Condition, Leaf, Truth, leaves
from advisor.rulebook.model import Example, Operation, RuleBook

Facts = Mapping[str, float | bool | str | None]


class ExampleJudge(Protocol):
    """Says what an operation, resolved for a grass, makes of an example's facts."""

    def verdict(self, operation: Operation, example: Example) -> str:
        """The verdict word."""

    def truth(self, tree: Condition, facts: Facts) -> Truth:
        """The truth of one tree."""

    def deciding(
        self, operation: Operation, example: Example, but: Collection[str]
    ) -> Iterable[str]:
        """Paths of the conditions that decide the example; those in `but` need not be tried."""


def outcome(operation: Operation, example: Example, book: RuleBook, judge: ExampleJudge) -> str:
    """What the example comes to: a verdict, or `true`, `false` or `unknown` of one tree."""
    return _outcome(resolved(operation, example, book), example, judge)


def resolved(operation: Operation, example: Example, book: RuleBook) -> Operation:
    """The operation for the example's grass."""
    return operation.for_grass(book.grasses[example.grass])


def check_examples(book: RuleBook, judge: ExampleJudge) -> None:
    """Raise `BadInput` for each example that fails and each condition that decides none."""
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
            deciding.update(judge.deciding(concrete, example, deciding))
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


def _outcome(operation: Operation, example: Example, judge: ExampleJudge) -> str:
    if not example.of:
        return judge.verdict(operation, example)
    truth = judge.truth(operation.trees()[example.of], example.facts)
    return "unknown" if truth is None else str(truth).lower()


def _all_leaves(operation: Operation) -> Iterator[Leaf]:
    for tree in operation.trees().values():
        yield from leaves(tree)
