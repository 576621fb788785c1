"""What docs/ and README.md show is what the program prints."""

from __future__ import annotations

import importlib.util
import sys
from itertools import pairwise
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def script(path):
    spec = importlib.util.spec_from_file_location(f"docs_{path.stem}", path)
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module  # dataclasses look their module up
    spec.loader.exec_module(module)
    return module


@pytest.mark.slow
def test_the_worked_week_of_the_readme():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    fresh = script(ROOT / "docs" / "worked_week.py").worked_week(readme)
    assert fresh == readme, "run `python docs/worked_week.py`"


@pytest.mark.slow
def test_the_sample_digests():
    folder = ROOT / "docs" / "samples"
    for name, content in script(folder / "make.py").make().items():
        shown = (folder / name).read_text(encoding="utf-8")
        assert content == shown, f"{name}: run `python docs/samples/make.py`"


def test_the_pages_of_the_rule_book():
    folder = ROOT / "docs" / "rules"
    fresh = script(ROOT / "docs" / "make_rules.py").make()
    shown = {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.md")}
    assert sorted(fresh) == sorted(shown), "run `python docs/make_rules.py`"
    for name, content in fresh.items():
        assert content == shown[name], f"{name}: run `python docs/make_rules.py`"


def test_the_table_of_ingredients_by_place():
    module = script(ROOT / "docs" / "validation" / "ingredients_by_place.py")
    shown = module.PAGE.read_text(encoding="utf-8")
    fresh = module.page(module.read_rulebook(cache=False))
    assert fresh == shown, "run `python docs/validation/ingredients_by_place.py`"


@pytest.fixture(scope="module")
def autumn(tmp_path_factory):
    module = script(ROOT / "docs" / "simulated_autumn.py")
    return module, list(module.simulate(tmp_path_factory.mktemp("autumn")))


@pytest.mark.slow
def test_the_simulated_autumn(autumn):
    module, weeks = autumn
    shown = (ROOT / "docs" / "simulated_autumn.md").read_text(encoding="utf-8")
    assert module.page(iter(weeks)) == shown, "run `python docs/simulated_autumn.py`"


@pytest.mark.slow
def test_no_week_contradicts_the_last_without_saying_so(autumn):
    """Every verdict on season's work that differs from the week before is named as a change."""
    _, weeks = autumn
    turned = 0
    for last, now in pairwise(weeks):
        before = {(a.title, a.area): a.decision.verdict for a in last.edition.week.answers}
        said = " ".join(now.edition.digest.changed).lower()
        season = (a for a in now.edition.week.answers if not a.decision.operation.routine)
        for answer in season:
            if before[answer.title, answer.area] != answer.decision.verdict:
                turned += 1
                assert answer.title.lower() in said, (now.day, answer.title, answer.area)
    assert turned > 20, "an autumn in which hardly anything turns tests nothing"


@pytest.mark.slow
def test_the_autumns_heads_keep_to_their_limit(autumn):
    from advisor.render.digest.render import digest_text

    for week in autumn[1]:
        head = digest_text(week.edition.digest).split("-" * 78)[0]
        assert len(head.split()) <= 350, (week.day, len(head.split()))


@pytest.mark.slow
def test_the_walk_of_one_reading():
    module = script(ROOT / "docs" / "walk.py")
    assert module.made() == module.PAGE.read_text(encoding="utf-8"), "run `python docs/walk.py`"
