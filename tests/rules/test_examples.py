"""Every inline example of the rule files, judged by the engine, one test for each."""

from __future__ import annotations

from typing import get_args

import pytest

from advisor.base.paths import data_folder
from advisor.base.strict_yaml import load_file
from advisor.decide.verdicts.example_judge import EngineExampleJudge
from advisor.rulebook.model import Example, Operation, RuleBook, VerdictName
from advisor.rulebook.prove import check_examples, outcome
from advisor.rulebook.read_rulebook import read_rulebook

BOOK = read_rulebook(cache=False)
CASES = [(o, e) for o in BOOK.operations.values() for e in o.examples]
FILES = sorted((data_folder("rules") / "operations").glob("*.yaml"))


@pytest.mark.parametrize(
    ("operation", "example"), CASES, ids=[f"{o.id}.yaml/{e.name}" for o, e in CASES]
)
def test_example(operation: Operation, example: Example, engine: EngineExampleJudge) -> None:
    assert outcome(operation, example, BOOK, engine) == example.expect


def test_as_many_tests_as_examples_in_the_files() -> None:
    # Counted from the files as plain data, not from the rule book that the tests are made of.
    in_files = {path.stem: len(load_file(path).data["examples"]) for path in FILES}
    collected = dict.fromkeys(in_files, 0)
    for operation, _ in CASES:
        collected[operation.id] += 1
    assert collected == in_files


def test_each_file_has_enough_examples() -> None:
    few = {o.id: len(o.examples) for o in BOOK.operations.values() if len(o.examples) < 25}
    assert not few


NOTHING_TO_MEASURE = {"tool_care"}
"""Asked for only by what was noted, and stopped by no state of lawn or weather."""


@pytest.mark.parametrize("operation", BOOK.operations.values(), ids=lambda o: o.id)
def test_examples_reach_all_seven_verdicts(operation: Operation) -> None:
    reached = {example.expect for example in operation.examples if not example.of}
    left_out = {"measure"} if operation.id in NOTHING_TO_MEASURE else set()
    assert reached == set(get_args(VerdictName)) - left_out


@pytest.mark.parametrize("operation", BOOK.operations.values(), ids=lambda o: o.id)
def test_grasses_get_different_answers(operation: Operation) -> None:
    """At least two grasses appear in each file's examples."""
    assert len({example.grass for example in operation.examples}) >= 2


def test_engine_and_plain_reading_agree(
    book: RuleBook, engine: EngineExampleJudge, plain: EngineExampleJudge
) -> None:
    for operation, example in CASES:
        by_engine = outcome(operation, example, book, engine)
        assert by_engine == outcome(operation, example, book, plain), example.name


def test_each_example_holds_and_each_condition_decides_one(
    book: RuleBook, engine: EngineExampleJudge
) -> None:
    check_examples(book, engine)
