"""A new site's files can be read at once, and never replace others."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest

from advisor.base.problems import BadInput
from advisor.base.record import asdict, replace
from advisor.base.strict_yaml import load_text
from advisor.records.check_site import check_site
from advisor.records.entry import HEADER
from advisor.records.journal import Journal, read_journal
from advisor.records.new_site import Answers, site_text, write_new_site
from advisor.records.read_site import read_site

GRASSES = ("kentucky_bluegrass", "tall_fescue")
ANSWERS = Answers(41.1, -81.6, "3,000 ft2", "Kentucky bluegrass")


def test_three_answers_are_enough(tmp_path: Path, today: dt.date) -> None:
    folder = tmp_path / "sites" / "home"
    written = write_new_site(folder, ANSWERS, GRASSES, today)
    assert written == read_site(folder, GRASSES, today)
    assert written.place.latitude == 41.1
    assert written.place.longitude == -81.6
    assert written.leading_grass() == "kentucky_bluegrass"
    assert written.total_area == pytest.approx(278.70912)
    assert written.soil.texture is None
    assert (folder / "journal.csv").read_bytes() == f"{HEADER}\n".encode()
    assert read_journal(folder / "journal.csv", {}, frozenset(), today) == Journal()
    assert sorted(path.name for path in folder.iterdir()) == ["journal.csv", "site.yaml"]


def test_a_grass_that_is_not_known(tmp_path: Path, today: dt.date) -> None:
    site = write_new_site(tmp_path, Answers(41.1, -81.6, "100 m2"), GRASSES, today)
    assert site.leading_grass() is None


def test_all_answers_and_odd_letters(tmp_path: Path, today: dt.date) -> None:
    answers = replace(
        ANSWERS, name='A: "b" # {c} \\ é', units="metric", town="no", time_zone="America/New_York",
        country="US",
    )  # fmt: skip
    site = write_new_site(tmp_path, answers, GRASSES, today)
    assert site.name == 'A: "b" # {c} \\ é'
    assert site.place.town == "no"
    assert site.place.time_zone == "America/New_York"
    assert site.unit_system == "metric"


def test_every_commented_line_is_a_valid_example(today: dt.date) -> None:
    text = re.sub(r"(?m)^(\s*)# (?=[a-z_]+: )", r"\1", site_text(ANSWERS))
    site = check_site(load_text(text, "f"), GRASSES, today)
    for section in (
        site,
        site.place,
        site.areas[0],
        site.soil,
        site.water,
        site.people,
        site.limits,
    ):
        unset = {name for name, value in asdict(section).items() if value is None}
        assert unset <= {"stand"}
    assert site.tools
    assert site.water.zones


@pytest.mark.parametrize("there", ["site.yaml", "journal.csv"])
def test_nothing_is_overwritten(tmp_path: Path, today: dt.date, there: str) -> None:
    (tmp_path / there).write_text("mine")
    with pytest.raises(BadInput) as caught:
        write_new_site(tmp_path, ANSWERS, GRASSES, today)
    assert str(caught.value) == f"{tmp_path / there}: is there already; it is never overwritten"
    assert [path.name for path in tmp_path.iterdir()] == [there]
    assert (tmp_path / there).read_text() == "mine"


def test_answers_of_no_use_write_nothing(tmp_path: Path, today: dt.date) -> None:
    folder = tmp_path / "home"
    answers = Answers(141.0, -81.6, "3000 ft", "moss")
    with pytest.raises(BadInput) as caught:
        write_new_site(folder, answers, GRASSES, today)
    assert {str(problem) for problem in caught.value.problems} == {
        "the answers: latitude 141 and longitude -81.6 look swapped; exchange them",
        "the answers: areas.0.size: '3000 ft' is a length; wanted area in 'm2' or 'ft2' or 'ac' "
        "or 'ha'",
        "the answers: grass 'moss' is not in the rule book; known: kentucky_bluegrass, "
        "tall_fescue, dont_know",
    }
    assert not folder.exists()


def test_a_folder_that_cannot_be_made(tmp_path: Path, today: dt.date) -> None:
    (tmp_path / "home").write_text("a file")
    with pytest.raises(BadInput, match="home: cannot be written"):
        write_new_site(tmp_path / "home", ANSWERS, GRASSES, today)
