"""Which conditions decide an example, against the plain meaning of the words.

Forcing a condition is there done to the whole operation, and the engine, which knows nothing of
the short cuts of `deciding_paths`, judges it.
"""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from changes import found, with_tree

from advisor.base.record import replace
from advisor.decide.engine.plain import truth
from advisor.decide.verdicts.example_judge import EngineExampleJudge
from advisor.rulebook.conditions import Condition, Group, Leaf, leaves
from advisor.rulebook.model import Conflict, Example, Operation, RuleBook, Strength
from advisor.rulebook.prove import resolved

OPERATIONS = ("thatch_removal", "overseeding", "preemergent")
EVERY = 8
"""One example in so many is tried; the engine compiles each changed operation anew."""


def by_meaning(operation: Operation, example: Example, judge: EngineExampleJudge) -> Iterator[str]:
    """Paths of the conditions whose opposite makes the example come out otherwise."""
    before = found(operation, example, judge)
    for name, tree in operation.trees().items():
        asked = name == example.of if example.of else not name.startswith(("windows.", "advice."))
        for leaf in leaves(tree) if asked else ():
            for opposite in {True, False} - {truth(leaf, example.facts)}:
                changed = with_tree(operation, name, forced(tree, leaf.path, opposite))
                if found(changed, example, judge) != before:
                    yield leaf.path


def forced(tree: Condition, path: str, to: bool) -> Condition:
    if isinstance(tree, Group):
        return replace(tree, parts=tuple(forced(part, path, to) for part in tree.parts))
    if tree.path != path:
        return tree
    known, unknown = Leaf(tree.fact, "known", True), Leaf(tree.fact, "known", False)
    return Group("any" if to else "all", (known, unknown))


@pytest.mark.parametrize("id", OPERATIONS)
def test_short_cuts_find_what_the_engine_finds(
    id: str, book: RuleBook, engine: EngineExampleJudge
) -> None:
    some = 0
    for example in book.operations[id].examples[::EVERY]:
        operation = resolved(book.operations[id], example, book)
        wanted = set(by_meaning(operation, example, engine))
        assert engine.deciding(operation, example, ()) == wanted, example.name
        some += len(wanted)
    assert some


def test_what_is_known_to_decide_is_not_tried_again(
    book: RuleBook, engine: EngineExampleJudge
) -> None:
    whole = book.operations["thatch_removal"]
    example = next(e for e in whole.examples if not e.of and e.expect == "do")
    operation = resolved(whole, example, book)
    all_of_them = engine.deciding(operation, example, ())
    one = min(all_of_them)
    assert engine.deciding(operation, example, {one}) == all_of_them - {one}


CAUTION = Conflict("x", Leaf("stand_age", "under", 365.0, path="conflict.x"), "young", "caution")


@pytest.mark.parametrize("strength", ["caution", "label"])
def test_an_unknown_comparison_of_a_conflict_decides(
    strength: Strength, book: RuleBook, engine: EngineExampleJudge
) -> None:
    """A caution of an unknown fact does not bind, a label's word does; forced, each turns over."""
    whole = book.operations["thatch_removal"]
    example = next(e for e in whole.examples if not e.of and e.expect == "do")
    conflict = replace(CAUTION, strength=strength)
    alone = replace(resolved(whole, example, book), conflicts=(conflict,))
    unknown = replace(example, facts={n: v for n, v in example.facts.items() if n != "stand_age"})
    assert engine.verdict(alone, unknown) == ("do" if strength == "caution" else "measure")
    assert "conflict.x" in engine.deciding(alone, unknown, ())
    assert engine.deciding(alone, unknown, ()) == set(by_meaning(alone, unknown, engine))


def test_a_judge_kept_for_one_grass_does_not_answer_for_another(book: RuleBook) -> None:
    whole = book.operations["thatch_removal"]
    examples = [e for e in whole.examples if not e.of]
    assert len({book.grasses[e.grass].limits["thatch_remove"].value for e in examples}) > 1
    judge = EngineExampleJudge(book.vocabulary)
    for example in (*examples, *reversed(examples)):
        assert judge.verdict(resolved(whole, example, book), example) == example.expect
