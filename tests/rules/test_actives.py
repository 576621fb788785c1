"""Names of active ingredients: found in texts, and in no text past the law."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

from advisor.base.problems import Problems
from advisor.base.strict_yaml import load_text
from advisor.rulebook.actives import ASK, NOTHING, Option, Options
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_actives import check_named

ROOT = Path(__file__).parents[2]
HEARD = {"everyday_words.py"}
"""Words that keepers use and no answer says."""
# The neonicotinoids as California DPR, Notice 2024-18, lists them.
NEONICOTINOIDS = {"acetamiprid", "clothianidin", "dinotefuran", "imidacloprid", "thiamethoxam"}


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("Siduron may go down with the seed", {"siduron"}),
        ("a mixture of 2,4-d, MCPP and dicamba", {"2,4-D", "mecoprop", "dicamba"}),
        ("prodiamine-like things", {"prodiamine"}),
        ("MSMAX and 12,4-D", set()),
        ("lawn sand", {"iron sulphate"}),
        ("core, seed and feed", set()),
    ],
)
def test_what_a_text_names(text: str, named: set[str], book: RuleBook) -> None:
    assert book.actives.named_in(text) == named


def test_a_class_means_its_members(book: RuleBook) -> None:
    actives = book.actives
    for text in ("a neonicotinoid", "Neonicotinoids", "imidacloprid or its like"):
        assert actives.named_in(text) >= NEONICOTINOIDS, text
    assert actives.named_in("imidacloprid, as its label has it") == {"imidacloprid"}
    assert actives.meant_by(["neonicotinoids"]) >= NEONICOTINOIDS
    synthetic = actives.meant_by(["synthetic"])
    # Corn gluten and iron are on the allowable list of Nova Scotia.
    assert actives.all.keys() - synthetic == {"corn gluten", "iron sulphate"}


def test_choices_in_words() -> None:
    three = Options("such are", tuple(Option(x, frozenset((x,))) for x in "abc"), "none is")
    assert three.said(NOTHING) == f"such are a, b or c – {ASK}"
    assert three.said(frozenset("b")) == f"such are a or c – {ASK}"
    assert three.said(frozenset("ab")) == f"such are c – {ASK}"
    assert three.said(frozenset("abc")) == "none is"


@pytest.mark.parametrize(
    "text",
    [
        "steps: [Put down siduron.]",
        "title: siduron",
        "facts: {x: {question: Have you siduron?}}",
        "waits: [{choice: take siduron}]",
        "conflicts: [{says: no siduron, when: {says: siduron is at hand}}]",
        "advice: [{says: no siduron, warns: [dithiopyr]}]",
        "need: {range: siduron in Ohio}",
        "need: {evidence: [a]}\nevidence: [{id: a, says: siduron}]",
    ],
)
def test_no_text_of_a_rule_file_names_one_past_the_law(text: str, book: RuleBook) -> None:
    problems = Problems()
    check_named("operations/x.yaml", load_text(text, "x.yaml"), book.actives, problems)
    assert problems


@pytest.mark.parametrize(
    "text",
    [
        "advice: [{says: no siduron, warns: [siduron]}]",
        "advice: [{options: {any: [siduron]}}]",
        "facts: {x: {choices: [siduron]}}",
        "evidence: [{id: a, says: siduron}]",
    ],
)
def test_where_one_may_stand(text: str, book: RuleBook) -> None:
    problems = Problems()
    check_named("operations/x.yaml", load_text(text, "x.yaml"), book.actives, problems)
    problems.raise_if_any()


def test_code_and_templates_name_none(book: RuleBook) -> None:
    for path in (ROOT / "advisor").rglob("*.py"):
        texts = (
            node.value
            for node in ast.walk(ast.parse(path.read_text("utf-8")))
            if isinstance(node, ast.Constant) and isinstance(node.value, str)
        )
        if path.name not in HEARD:
            for text in texts:
                assert not book.actives.named_in(text), (path.name, text)
    for path in (ROOT / "templates").rglob("*.*"):
        said = re.sub(r"[{][%{].*?[%}][}]", "", path.read_text("utf-8"))
        assert not book.actives.named_in(said), path.name
