"""The worked example of docs/writing_rules.md is a whole rule file that passes."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

from changes import changes, noticed

from advisor.decide.verdicts.example_judge import EngineExampleJudge
from advisor.rulebook.prove import check_examples
from advisor.rulebook.read_rulebook import read_rulebook

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "writing_rules.md"
SMALL_BOOK = ROOT / "tests" / "bad_input" / "rules" / "good"


def test_worked_example(tmp_path: Path) -> None:
    (example,) = re.findall(r"```yaml\n(format: 1\n.*?)```", PAGE.read_text("utf-8"), re.DOTALL)
    rules = Path(shutil.copytree(SMALL_BOOK, tmp_path / "rules"))
    (rules / "operations" / "moss_raking.yaml").write_text(example, encoding="utf-8")
    book = read_rulebook(rules)
    plain = EngineExampleJudge(book.vocabulary, plain=True)
    check_examples(book, plain)
    operation = book.operations["moss_raking"]
    assert not [str(c) for c in changes(operation) if not noticed(c, book, plain)]
