"""Broken rule files: each gets exactly the messages in the `.expected` file beside it.

Each file stands in for one file of a small good rule book (rules/good); its name begins with the
kind of file. The grass, the job and the source in it are invented.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from advisor.base.problems import BadInput
from advisor.decide.verdicts.example_judge import EngineExampleJudge
from advisor.rulebook.prove import check_examples
from advisor.rulebook.read_rulebook import read_rulebook

FOLDER = Path(__file__).parent / "rules"
CASES = sorted(path.stem for path in FOLDER.glob("*.yaml"))
STANDS_FOR = {
    "operation": "operations/moss_raking.yaml",
    "grass": "grasses/meadow_grass.yaml",
    "facts": "facts.yaml",
    "sources": "sources.yaml",
    "cautions": "cautions.yaml",
    "ingredients": "ingredients.yaml",
    "law": "laws/xx_vale.yaml",
    "programme": "programmes/moss_year.yaml",
}


def problems_with(folder: Path) -> list[str]:
    """What is said about a rule book when it is read and its examples are judged."""
    try:
        book = read_rulebook(folder)
        plain = EngineExampleJudge(book.vocabulary, plain=True)
        check_examples(book, plain)
    except BadInput as error:
        return [str(problem) for problem in error.problems]
    return []


@pytest.fixture
def rules(tmp_path: Path) -> Path:
    return Path(shutil.copytree(FOLDER / "good", tmp_path / "rules"))


def test_the_good_rule_book_is_good(rules: Path) -> None:
    assert problems_with(rules) == []


@pytest.mark.parametrize("name", CASES)
def test_each_problem_is_named_at_its_place(name: str, rules: Path) -> None:
    kind = name.partition("_")[0]
    shutil.copy(FOLDER / f"{name}.yaml", rules / STANDS_FOR[kind])
    expected = (FOLDER / f"{name}.expected").read_text(encoding="utf-8").splitlines()
    assert expected
    assert problems_with(rules) == expected


def test_every_expectation_belongs_to_a_file() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*.expected")) == CASES
    assert len(CASES) >= 40


def test_missing_files(rules: Path) -> None:
    (rules / "facts.yaml").unlink()
    assert problems_with(rules) == [
        "rules/facts.yaml: this file is missing from the rule book",
    ]


def test_empty_folder(tmp_path: Path) -> None:
    assert problems_with(tmp_path) == [
        f"{tmp_path}: no rule files here; wanted a folder like rules/",
    ]


def test_one_job_in_two_files(rules: Path) -> None:
    shutil.copy(rules / "operations/moss_raking.yaml", rules / "operations/moss_again.yaml")
    assert problems_with(rules) == [
        "rules/operations/moss_raking.yaml:1: 'moss_raking' is described in two files; keep one",
    ]


def test_all_files_are_reported_at_once(rules: Path) -> None:
    shutil.copy(FOLDER / "facts_unit_unknown.yaml", rules / "facts.yaml")
    shutil.copy(FOLDER / "sources_read_how.yaml", rules / "sources.yaml")
    said = problems_with(rules)
    assert any(line.startswith("rules/facts.yaml:") for line in said)
    assert any(line.startswith("rules/sources.yaml:") for line in said)


def test_waits_that_give_way_to_each_other(rules: Path) -> None:
    """Raking gives way to a sowing, and the sowing to raking: neither could ever be decided."""
    wait = (
        "waits:\n  - id: {id}\n    after: [{first}]\n    blocks: [{later}]\n    for: 3 wk\n"
        "    strength: caution\n    says: not so soon\n    ahead: the other first\n"
        "    evidence: [memory]\nadvice:\n"
    )
    raking = rules / "operations/moss_raking.yaml"
    text = raking.read_text(encoding="utf-8")
    own = wait.format(id="a", first="moss_raking", later="moss_sowing")
    raking.write_text(text.replace("advice:\n", own, 1), encoding="utf-8")
    other = text.replace("operation: moss_raking", "operation: moss_sowing", 1)
    theirs = wait.format(id="b", first="moss_sowing", later="moss_raking")
    sowing = rules / "operations/moss_sowing.yaml"
    sowing.write_text(other.replace("advice:\n", theirs, 1), encoding="utf-8")
    (said,) = problems_with(rules)
    assert "operations wait for each other's intentions in a circle" in said
