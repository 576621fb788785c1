"""Which conditions decide an example: those without which it would come out otherwise."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping

from advisor.base.record import replace
from advisor.decide.engine.model import Formula
from advisor.decide.engine.plain import formula_truths, group_truth, truth
from advisor.decide.verdicts.judge import NEED, READY, binding_tree, verdict_at
from advisor.rulebook.conditions import Condition, Group, Leaf, Truth, leaves
from advisor.rulebook.model import Conflict, Example, Operation

_TRUTHS: frozenset[Truth] = frozenset({True, False, None})


def deciding_paths(
    operation: Operation,
    gates: Mapping[str, Formula],
    example: Example,
    but: Collection[str] = (),
) -> Iterator[str]:
    """Paths of the leaves that decide the example, read plainly.

    A leaf decides if forcing it to the opposite truth changes the outcome, and an unknown one if
    either truth does. Those in `but` are known to decide some example, and are not tried again.
    `gates` are the operation's `gate_formulas`.
    """
    facts, conflicts = example.facts, {f"conflict.{c.id}": c for c in operation.conflicts}
    truths = {} if example.of else formula_truths(gates, facts)
    for name, tree in _trees(operation, example).items():
        tried = [leaf for leaf in leaves(tree) if leaf.path not in but]
        turning = _turning(name, tree, truths, example) if tried else frozenset()
        binds = None if example.of else conflicts.get(name)
        for leaf in tried if turning else ():
            for opposite in {True, False} - {truth(leaf, facts)}:
                if truth(_forced(tree, leaf, opposite, binds), facts) in turning:
                    yield leaf.path
                    break


def _trees(operation: Operation, example: Example) -> dict[str, Condition]:
    """The trees that the example asks about, by name."""
    trees = operation.trees()
    if example.of:
        return {example.of: trees[example.of]}
    # A verdict is asked with the state of its window given, and advice follows after it.
    return {n: tree for n, tree in trees.items() if not n.startswith(("windows.", "advice."))}


def _turning(
    name: str, tree: Condition, truths: dict[str, Truth], example: Example
) -> frozenset[Truth]:
    """The truths of the tree of that name with which the example would come out otherwise."""
    if example.of:
        return _TRUTHS - {truth(tree, example.facts)}
    before = _verdict(truths, example)
    return frozenset(t for t in _TRUTHS if _verdict({**truths, name: t}, example) != before)


def _verdict(truths: dict[str, Truth], example: Example) -> str:
    conflict = group_truth("any", [t for n, t in truths.items() if n.startswith("conflict.")])
    return verdict_at(truths[NEED], truths[READY], conflict, example.window, example.lasting)


def _forced(tree: Condition, leaf: Leaf, to: bool, conflict: Conflict | None) -> Condition:
    """The tree with one leaf replaced by a constant, as it binds if it is that of a conflict."""
    forced = _with_constant(tree, leaf, to)
    return binding_tree(replace(conflict, when=forced)) if conflict else forced


def _with_constant(tree: Condition, leaf: Leaf, to: bool) -> Condition:
    """The tree with one leaf replaced by a constant: `known` is never unknown."""
    if isinstance(tree, Group):
        return Group(tree.how, tuple(_with_constant(part, leaf, to) for part in tree.parts))
    if tree.path != leaf.path:
        return tree
    certain, doubtful = (Leaf(tree.fact, "known", known, path=tree.path) for known in (True, False))
    return Group("any" if to else "all", (certain, doubtful))
