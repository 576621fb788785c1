"""A limit that moves, or a condition that is dropped, must break at least one inline example."""

from __future__ import annotations

import pytest
from changes import Change, changes, grass_change_noticed, moved, noticed, used_limits

from advisor.base.record import replace
from advisor.decide.verdicts.example_judge import EngineExampleJudge
from advisor.rulebook.conditions import leaves
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

BOOK = read_rulebook(cache=False)
OPERATIONS = sorted(BOOK.operations)
LIMITS = sorted((grass, name) for grass in BOOK.grasses for name in used_limits(BOOK, grass))


@pytest.mark.parametrize("operation", OPERATIONS)
def test_each_change_breaks_an_example(
    operation: str, book: RuleBook, plain: EngineExampleJudge
) -> None:
    tried = list(changes(book.operations[operation]))
    follows = book.operations[operation].trees_of_waits()
    own = [t for n, t in book.operations[operation].trees().items() if n not in follows]
    conditions = sum(len(list(leaves(tree))) for tree in own)
    assert len(tried) > conditions
    unnoticed = [str(change) for change in tried if not noticed(change, book, plain)]
    assert not unnoticed


@pytest.mark.parametrize(("grass", "name"), LIMITS)
def test_each_limit_of_each_grass_breaks_an_example(
    grass: str, name: str, book: RuleBook, plain: EngineExampleJudge
) -> None:
    assert grass_change_noticed(grass, name, "down", book, plain)
    assert grass_change_noticed(grass, name, "up", book, plain)


def test_limits_that_decide() -> None:
    assert used_limits(BOOK, "kentucky_bluegrass") >= {
        "thatch_some", "thatch_remove", "thatch_danger", "sow_soil_warmest", "room_needed",
        "spring_soil_coolest", "spring_days_needed", "cold_soil_days_needed", "gap_fills",
    }  # fmt: skip


def test_an_unnoticed_change_is_found(book: RuleBook, plain: EngineExampleJudge) -> None:
    """Without its examples near the limit, a moved limit goes unnoticed."""
    operation = book.operations["thatch_removal"]
    limits = {grass.limits["thatch_remove"].value for grass in book.grasses.values()}
    far = [
        e
        for e in operation.examples
        if all(abs(float(e.facts.get("thatch_depth", 0)) - limit) > 2.6 for limit in limits)
    ]
    poorer = replace(operation, examples=tuple(far))
    thin = replace(book, operations={**book.operations, operation.id: poorer})
    change = Change("thatch_removal", "need", "need.all.0", "up")
    assert noticed(change, book, plain)
    assert not noticed(change, thin, plain)


def test_steps() -> None:
    assert moved(20.0, "°C", "up") == 23.0
    assert moved(1.0, "d", "down") == 0.0
    assert moved(300.0, "d", "up") == pytest.approx(330.0)
    assert moved(12.7, "mm", "down") == pytest.approx(11.43)
