"""A limit that was noted does in every view what the same does in site.yaml, until it is undone."""

from __future__ import annotations

import datetime as dt
import shutil
from functools import cache
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.advice.book import Advice
from advisor.answers.record import propose_note, take_back, write
from advisor.cases.open_folder import open_case
from advisor.cli.main import app
from advisor.demo.scenario import write_demo
from advisor.planning.weekends import compose_weekends
from advisor.planning.workplan import compose_workplan
from advisor.records.limit_values import LIMIT_NAMES
from advisor.render.digest.tasks import free_days_json
from advisor.render.digest.week import compose_week
from advisor.render.sheets.weekends_json import weekends_json
from advisor.render.sheets.weekends_text import weekends_text
from advisor.render.sheets.workplan_pages import workplan_json, workplan_text
from advisor.rulebook.read_rulebook import read_rulebook

ON, SATURDAY = dt.date(2026, 9, 5), dt.date(2026, 9, 12)
SAME = {
    "work": ("only from 9 to 11 on the 12th",
             "work: [00:00 to 24:00, 2026-09-12 09:00 to 11:00]"),
    "engines": ("no noise on saturdays", "engines: [00:00 to 24:00, saturday never]"),
    "shop": ("the hire shop is closed on saturdays", "shop: [00:00 to 24:00, saturday never]"),
    "helpers": ("my son helps on 12 september from 8 to 12",
                "helpers: [2026-09-12 08:00 to 12:00]"),
    "hire": ("at most 80 dollars for hire", "hire: 80"),
    "lifting": ("no lifting, my back is out", "lifting: no"),
    "machines": ("no machines", "machines: no"),
    "away": ("away from 12 to 19 september", "away: [2026-09-12 to 2026-09-19]"),
    "hired_on": ("the corer is only to be had on the 19th",
                 "hired_on: [{kind: core_aerator, days: [2026-09-19]}]"),
}  # fmt: skip


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return write_demo(tmp_path_factory.mktemp("demo"))


def views(folder: Path) -> tuple[object, ...]:
    """The plan of a weekend, the free days of two months and those of the digest."""
    case = open_case(folder, read_rulebook(), ON)
    plan = compose_workplan(Advice(case), SATURDAY, 2)
    free = compose_weekends(Advice(case), ON, dt.date(2026, 11, 1))
    texts = (workplan_text(plan), weekends_text(free))
    return (*texts, workplan_json(plan), weekends_json(free), free_days_json(compose_week(case)))


@cache
def unlimited(folder: Path) -> tuple[object, ...]:
    return views(folder)


def test_each_limit_is_looked_at() -> None:
    assert set(SAME) == set(LIMIT_NAMES)


@pytest.mark.sample(4)
@pytest.mark.parametrize("name", SAME)
def test_a_noted_limit_and_the_same_in_the_site_file_are_one(
    demo: Path, tmp_path: Path, name: str
) -> None:
    words, written = SAME[name]
    folder = tmp_path / "site"
    # One name for all three, since views print commands with it.
    before = unlimited(demo)
    shutil.copytree(demo, folder)
    file = folder / "site.yaml"
    text = file.read_text(encoding="utf-8")
    file.write_text(f"{text}limits:\n  {written}\n", encoding="utf-8")
    in_file = views(folder)
    file.write_text(text, encoding="utf-8")
    case = open_case(folder, read_rulebook(), ON)
    id = write(folder, propose_note(case, words))
    noted = views(folder)
    assert noted == in_file
    take_back(folder, id, ON)
    after = views(folder)
    assert after != noted
    assert _without_folder(after, folder) == _without_folder(before, demo)


def _without_folder(found: tuple[object, ...], folder: Path) -> str:
    """What is said, but for the folder that printed commands name, where lines end too."""
    return "".join(repr(found).replace("\\n", " ").replace(str(folder), "").split())


@pytest.mark.parametrize(
    ("words", "digest", "eve"),
    [
        (
            "away from 12 to 13 september",
            "No low mowing (front) on Saturday 12 Sep: nobody is there.",
            "Wait. Saturday 12 Sep: no low mowing and thatch removal (front): nobody is there.",
        ),
        (
            "no time on the 12th",
            "No low mowing (front) on Saturday 12 Sep: you have no hours.",
            "Wait. Saturday 12 Sep: no low mowing and thatch removal (front): you have no hours.",
        ),
        (
            "only from 9 to 11 on the 12th",
            "But you have from 09:00 to 11:00: plan that day anew.",
            "No thatch removal (front): the hours that you have do not hold it",
        ),
    ],
)
def test_a_limit_that_is_noted_after_a_plan_was_settled_takes_its_hours(
    tmp_path: Path, words: str, digest: str, eve: str
) -> None:
    site = write_demo(tmp_path)
    settled = said("workplan", str(site), "--from", "2026-09-12", "--on", "2026-09-09", "--keep")
    assert "Low mowing" in settled
    before = said("week", str(site), "--on", "2026-09-11")
    assert "As planned: low mowing, on Saturday 12 Sep." in before
    said("note", str(site), words, "--on", "2026-09-10")
    after = said("week", str(site), "--on", "2026-09-11")
    assert digest in after
    assert digest not in before
    assert ("As planned: low mowing" in after) == words.startswith("only")
    assert eve in said("tomorrow", str(site), "--on", "2026-09-11")
    (id,) = (row.partition(",")[0] for row in journal(site) if ",limit," in row)
    said("undo", str(site), id, "--on", "2026-09-11")
    assert said("week", str(site), "--on", "2026-09-11") == before


def said(*words: str) -> str:
    found = CliRunner().invoke(app, list(words))
    assert found.exit_code == 0, found.output
    return " ".join(found.output.split())


def journal(site: Path) -> list[str]:
    return (site / "journal.csv").read_text(encoding="utf-8").splitlines()[1:]
