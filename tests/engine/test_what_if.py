"""Unknowns that matter, close calls and flips: each against a search over many values."""

from __future__ import annotations

from random import Random

from hypothesis import given
from hypothesis import strategies as st
from random_programs import random_case, random_tree, random_values

from advisor.decide.engine.model import FactKind
from advisor.decide.engine.plain import truth
from advisor.decide.engine.what_if import (
    Flip,
    close_calls,
    flips,
    outcomes,
    representatives,
    unknown_that_matter,
)
from advisor.rulebook.conditions import Group, Leaf, leaves

NUMBER = FactKind("number")
KINDS = {"a": NUMBER, "b": NUMBER, "c": NUMBER}
A, B, C = (Leaf(name, "over", 1.0) for name in "abc")


def test_an_unknown_that_decides_alone_comes_first() -> None:
    tree = Group("any", (Group("all", (A, B)), C))
    assert unknown_that_matter(tree, {}, KINDS) == ("c", "a", "b")
    assert unknown_that_matter(tree, {"a": 2.0}, KINDS) == ("b", "c")
    assert unknown_that_matter(tree, {"a": 0.0}, KINDS) == ("c",)


def test_an_unknown_that_is_overruled_does_not_matter() -> None:
    assert unknown_that_matter(Group("all", (A, B)), {"a": 0.0}, KINDS) == ()
    assert unknown_that_matter(Group("any", (A, B)), {"a": 2.0}, KINDS) == ()


def test_measuring_a_fact_that_must_be_known_matters() -> None:
    assert unknown_that_matter(Group("all", (Leaf("a", "known", True), B)), {"b": 2.0}, KINDS) == (
        "a",
    )


def test_outcomes_say_what_each_result_would_mean() -> None:
    found = outcomes(Group("all", (A, B)), {"b": 5.0}, "a", NUMBER)
    assert [answer for _, answer in found] == [False, False, True]
    assert found[1][0] == 1.0


@given(
    limits=st.lists(st.floats(-10, 10), min_size=1, max_size=4),
    value=st.floats(-20, 20),
    data=st.data(),
)
def test_representatives_stand_for_every_number(
    limits: list[float], value: float, data: st.DataObject
) -> None:
    comparison = st.sampled_from(["over", "under", "at_least", "at_most", "is", "is_not"])
    among = [Leaf("a", data.draw(comparison), limit) for limit in limits]
    answers = {
        tuple(truth(leaf, {"a": stand_in}) for leaf in among)
        for stand_in in representatives(among, "a", NUMBER)
    }
    assert tuple(truth(leaf, {"a": value}) for leaf in among) in answers


def test_representatives_of_dates_are_whole_days_and_of_choices_their_values() -> None:
    leaf = Leaf("d", "at_least", 738_000)
    assert representatives([leaf], "d", FactKind("date")) == (
        737999.0,
        738000.0,
        738001.0,
        738002.0,
    )
    assert representatives([], "c", FactKind("choice", ("x", "y"))) == ("x", "y")
    assert representatives([], "f", FactKind("flag")) == (False, True)
    assert representatives([Leaf("a", "known", True)], "a", NUMBER) == (0.0,)


def test_close_calls() -> None:
    leaf = Leaf("a", "over", 12.0, error=2.0)
    exact = Leaf("a", "over", 12.0)
    tree = Group("any", (leaf, exact, Leaf("b", "under", 3.0, error=1.0)))
    assert close_calls(tree, {"a": 13.5, "b": 4.0}) == (leaf,)
    assert close_calls(tree, {"a": 14.0}) == ()
    assert close_calls(tree, {"a": 10.5, "b": 2.5}) == (leaf, tree.parts[2])


def test_flip_is_the_nearest_change_that_turns_the_tree() -> None:
    tree = Group("all", (Leaf("a", "over", 5.0), Leaf("a", "under", 9.0), B))
    (under, over) = flips(tree, {"a": 6.0, "b": 2.0}, frozenset({"a"}), KINDS)
    assert under == Flip(tree.parts[0], 5.0, False)
    assert over == Flip(tree.parts[1], 9.0, False)
    assert flips(tree, {"a": 6.0, "b": 0.0}, frozenset({"a"}), KINDS) == ()
    assert flips(tree, {"a": 6.0, "b": 2.0}, frozenset(), KINDS) == ()


def test_an_unknown_fact_can_turn_a_tree_either_way() -> None:
    found = flips(A, {}, frozenset({"a"}), KINDS)
    assert {flip.truth for flip in found} == {True, False}


def test_flips_against_a_search() -> None:
    """Whenever some tried value of a fact turns the tree, a flip of it is found; and back."""
    rng = Random(11)
    turned = 0
    for _ in range(400):
        case = random_case(rng)
        tree = random_tree(rng, case.kinds, case.limits, 2)
        values = random_values(rng, case, 0.1)
        now = truth(tree, values)
        fact = rng.choice([leaf.fact for leaf in leaves(tree)])
        found = flips(tree, values, frozenset({fact}), case.kinds)
        for flip in found:
            assert truth(tree, {**values, fact: flip.to}) is flip.truth is not now
        for _ in range(10):
            other = random_values(rng, case, 0)[fact]
            then = truth(tree, {**values, fact: other})
            if then is not None and then is not now:
                assert any(flip.truth is then for flip in found)
                turned += 1
    assert turned > 300
