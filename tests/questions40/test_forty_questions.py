"""Forty keepers' questions against the answers of extension services, gardens and societies.

Where each answer was read stands in cases.yaml; the score and every disagreement in
docs/validation/forty_questions.md. The expectations were written before the first run.
"""

from __future__ import annotations

import importlib.util
import re
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
FLOOR = 0.85
WARM = {"bermudagrass", "zoysiagrass", "st_augustinegrass", "centipedegrass"}

_spec = importlib.util.spec_from_file_location("questions40_run", HERE / "run_cases.py")
assert _spec is not None
assert _spec.loader is not None
_run = importlib.util.module_from_spec(_spec)
sys.modules[_spec.name] = _run
_spec.loader.exec_module(_run)


@pytest.fixture(scope="module")
def outcomes(tmp_path_factory):
    book = _run.read_rulebook(cache=False)
    folder = tmp_path_factory.mktemp("forty")
    return [_run.run(case, book, folder) for case in _run.read_cases()]


def test_the_cases_are_wide_enough():
    cases = _run.read_cases()
    asked = [c for c in cases if c["expect"] != "refuse"]
    assert len({c["id"] for c in cases}) == len(cases) == 40
    assert len(cases) - len(asked) >= 5
    assert sum(bool(c["danger"]) for c in asked) >= 10
    assert sum(c["grass"] in WARM for c in asked) >= 12
    assert len({operation for c in asked for operation in c["expect"]}) >= 12


def test_most_answers_agree_with_the_sources(outcomes):
    differ = [f"{o.id}: {o.why}" for o in outcomes if o.why]
    assert len(differ) <= (1 - FLOOR) * len(outcomes), differ


def test_no_answer_is_what_its_source_forbids(outcomes):
    assert [o.id for o in outcomes if o.dangerous] == []


def test_what_is_not_our_matter_is_refused(outcomes):
    out = [o for o in outcomes if o.id.startswith("out_")]
    assert [o.id for o in out if o.verdict != _run.REFUSED] == []


def test_the_document_tells_the_score_and_each_disagreement(outcomes):
    text = (HERE.parents[1] / "docs/validation/forty_questions.md").read_text(encoding="utf-8")
    agree = sum(not o.why for o in outcomes)
    assert re.search(rf"\b{agree} of {len(outcomes)}\b", text)
    last = text.split("## Where we still differ")[1].split("\n## ")[0]
    assert {o.id for o in outcomes if o.why} == set(re.findall(r"`([a-z_]+)`:", last))
