"""What does not fit together is refused when it is compiled, with a message that names it."""

from __future__ import annotations

import json
from collections.abc import Callable
from typing import Any

import pytest

from advisor.base.record import replace
from advisor.decide.engine.compile import compile_program
from advisor.decide.engine.encode import number_text
from advisor.decide.engine.model import (
    Combination,
    Effect,
    FactError,
    FactKind,
    RuleSetError,
    Table,
)
from advisor.decide.engine.ruleset import MAX_ANTECEDENTS
from advisor.rulebook.conditions import Group, Leaf

N = {"n": FactKind("number")}
OVER = Leaf("n", "over", 1.0)


def without_row(small: dict[str, Any], number: int) -> Table:
    rows = list(small["table"].rows)
    del rows[number]
    return replace(small["table"], rows=rows)


def test_a_table_with_a_gap_names_it(small: dict[str, Any]) -> None:
    small["table"] = without_row(small, 8)
    with pytest.raises(RuleSetError) as refused:
        compile_program(**small)
    gap = "need=true, window_state=open, conflict=false, ready=true"
    assert str(refused.value) == f"no row of the table covers {gap}"


def test_a_large_gap_shows_some_and_counts_the_rest(small: dict[str, Any]) -> None:
    small["table"] = without_row(small, 0)
    with pytest.raises(RuleSetError, match=r"covers need=false, .* and 33 more$"):
        compile_program(**small)


def test_rows_that_overlap_are_named(small: dict[str, Any]) -> None:
    rows = [*small["table"].rows, ({"need": "false", "window_state": "over"}, "missed")]
    small["table"] = replace(small["table"], rows=rows)
    with pytest.raises(RuleSetError, match=r"^rows overlap at need=false, .*\(rows 1, 10\)"):
        compile_program(**small)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (lambda t: replace(t, inputs={**t.inputs, "need": ("true", "false")}), "has states true"),
        (lambda t: replace(t, inputs={**t.inputs, "ned": ("true",)}), "did you mean 'need'"),
        (lambda t: replace(t, inputs={**t.inputs, "thatch": ("true",)}), "number, which has no"),
        (lambda t: replace(t, rows=[({"nede": "true"}, "do")]), "no input, did you mean 'need'"),
        (lambda t: replace(t, rows=[({"need": "ture"}, "do")]), "'ture', did you mean 'true'"),
    ],
)
def test_bad_tables(small: dict[str, Any], change: Callable[[Table], Table], message: str) -> None:
    with pytest.raises(RuleSetError, match=message):
        compile_program(**{**small, "table": change(small["table"])})


@pytest.mark.parametrize(
    ("effect", "message"),
    [
        (Effect("x", {"need": "maybe"}), "'need' has no state 'maybe'"),
        (Effect("x", {"conclusion": "dow"}), "no state 'dow', did you mean 'do'"),
        (Effect("x", {"nothing": "true"}), "'nothing' is neither a formula nor a fact"),
    ],
)
def test_bad_effects(small: dict[str, Any], effect: Effect, message: str) -> None:
    with pytest.raises(RuleSetError, match=message):
        compile_program(**{**small, "effects": [effect]})


@pytest.mark.parametrize(
    ("formulas", "message"),
    [
        ({"a": Combination("any", ("b",)), "b": Combination("all", ("a",))}, "circle: .*a"),
        ({"a": Combination("any", ("nede",)), "need": OVER}, "no formula, did you mean 'need'"),
        ({"a": Leaf("m", "over", 1.0)}, "fact 'm' has no kind"),
        ({"a": Leaf("m", "known", False)}, "fact 'm' has no kind"),
        ({"a": Leaf("f", "over", 1.0)}, "fact 'f' is a flag; 'over' needs order"),
        ({"a": Leaf("f", "is", 1.0)}, "1.0 is neither True nor False"),
        ({"a": Leaf("c", "is", "z")}, "'z' is none of x, y"),
        ({"a": Leaf("n", "is", True)}, "True is not a number"),
        ({"a": Leaf("n", "over", float("inf"))}, "not a finite number"),
        ({"a": Leaf("n", "over", float("nan"))}, "not a finite number"),
        ({"a": Leaf("n", "over", (1.0,))}, "'over' does not go with"),
        ({"a": Leaf("n", "one_of", ())}, "'one_of' does not go with"),
        ({"a": Leaf("n", "known", 1.0, path="need.all.0")}, "need.all.0: 'known' is true or"),
        ({"conclusion": OVER}, "no formula may be called 'conclusion'"),
    ],
)
def test_bad_formulas(formulas: dict[str, Any], message: str) -> None:
    kinds = {**N, "f": FactKind("flag"), "c": FactKind("choice", ("x", "y"))}
    with pytest.raises(RuleSetError, match=message):
        compile_program(formulas, kinds)


def test_an_input_must_not_be_both_formula_and_fact() -> None:
    table = Table({"n": ("true", "false", "unknown")}, [({}, "do")])
    with pytest.raises(RuleSetError, match="both a formula and a fact"):
        compile_program({"n": OVER}, N, table)


def test_too_much_for_one_rule_set_is_refused() -> None:
    many = {f"f{i}": OVER for i in range(480)}
    with pytest.raises(RuleSetError, match="signals in one rule set; split it"):
        compile_program(many, N)
    limits = tuple(float(i) for i in range(60))
    with pytest.raises(RuleSetError, match="more than 48 limits in one conjunction"):
        compile_program({"f": Leaf("n", "one_of", limits)}, N)
    with pytest.raises(RuleSetError, match="more than 200 rules read one state"):
        compile_program({"f": OVER, **{f"g{i}": Combination("any", ("f",)) for i in range(201)}}, N)


def test_no_rule_joins_too_many_facts_or_nests_groups() -> None:
    """The engine misreads nested `all`/`any` and joins at most 16 facts."""
    kinds = {f"n{i}": FactKind("number") for i in range(60)}
    each = [Leaf(name, "over", 1.0) for name in kinds]
    tree = Group("all", (*each[:40], Group("any", (Group("all", tuple(each[40:])), each[0]))))
    program = compile_program({"f": tree, "g": Group("none", (tree,))}, kinds)
    rules = json.loads(program.rules)
    assert max(len(rule["all"]) for rule in rules.values()) <= MAX_ANTECEDENTS
    for name, rule in rules.items():
        assert name.startswith("end") or (rule.keys() == {"all", "dist"} and rule["dist"] == 0)
        for match in rule["all"]:
            (pattern,) = match.values()
            assert pattern.keys() <= {"$and", "s"}
    assert '"any"' not in program.rules
    assert "$not" not in program.rules
    assert "$nex" not in program.rules


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (0, "0"),
        (-0.0, "0"),
        (12.7, "12.7"),
        (1e-05, "0.00001"),
        (1e16, "10000000000000000.0"),
        (2**53, "9007199254740992"),
    ],
)
def test_numbers_are_positional_decimals(number: float, text: str) -> None:
    assert number_text(number) == text


@pytest.mark.parametrize("number", [5e-324, 1.7976931348623157e308, 0.1, 1 / 3, -123456789.123456])
def test_numbers_read_back_exactly(number: float) -> None:
    assert float(number_text(number)) == number
    assert set(number_text(number)) <= set("-.0123456789")


@pytest.mark.parametrize("number", [2**53 + 1, float("inf"), float("nan"), True, "12"])
def test_numbers_that_the_engine_would_misread_are_refused(number: Any) -> None:
    with pytest.raises(FactError):
        number_text(number)
