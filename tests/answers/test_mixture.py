"""A stand of several grasses: what the further ones would change is said.

Outside sources: Purdue Turf Tips of late September (too late for bluegrass is not always too late
for perennial ryegrass), Purdue AY-8 (bluegrass 2.5-3.5 in, tall fescue 3-4 in), Clemson HGIC 1223
(tall fescue and zoysia, but not bluegrass, in the Carolina Piedmont). Weather: tests/data/weather.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from collections.abc import Callable
from pathlib import Path

import pytest

from advisor.answers.consult import Consultation, consult
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.render.digest.view import digest_of
from advisor.render.digest.week import compose_week
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

DATA = Path(__file__).parents[1] / "data" / "weather"
PLACES = {
    "central_iowa": "{latitude: 42.03, longitude: -93.0, time_zone: America/Chicago, country: US}",
    "clemson_sc": "{latitude: 34.68, longitude: -82.8, time_zone: America/New_York, country: US}",
}
Ask = Callable[..., Consultation]
LawnOf = Callable[..., Case]


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="module")
def lawn_of(tmp_path_factory: pytest.TempPathFactory, book: RuleBook) -> LawnOf:
    def made(place: str, stand: str, *, sun: str = "full") -> Case:
        folder = tmp_path_factory.mktemp("lawn")
        (folder / "site.yaml").write_text(
            f"format: 1\nname: a lawn\nplace: {PLACES[place]}\nstand: {stand}\n"
            f"areas: [{{name: lawn, size: 300 m2, sun: {sun}}}]\n"
            "water: {irrigated: true, can_water_seed: true}\n",
            encoding="utf-8",
        )
        (folder / "journal.csv").write_text(
            "id,date,kind,what,value,area,note\nr1,2015-05-01,observation,good_turf_share,70 %,,\n",
            encoding="utf-8",
        )
        with gzip.open(DATA / f"{place}.csv.gz", "rt", encoding="utf-8") as file:
            rows = [row[:4] for row in csv.reader(file)]
        text = "\n".join(",".join(row) for row in rows) + "\n"
        (folder / "weather.csv").write_text(text, encoding="utf-8")
        return open_case(folder, book)

    return made


@pytest.fixture(scope="module")
def ask(lawn_of: LawnOf) -> Ask:
    def asked(place: str, stand: str, question: str, on: str, *, sun: str = "full") -> Consultation:
        day = dt.date.fromisoformat(on)
        return consult(replace(lawn_of(place, stand, sun=sun), on=day), question)

    return asked


BLUEGRASS_RYEGRASS = (
    "[{grass: kentucky_bluegrass, share: 80 %}, {grass: perennial_ryegrass, share: 20 %}]"
)
FESCUE_BLUEGRASS = "[{grass: tall_fescue, share: 90 %}, {grass: kentucky_bluegrass, share: 10 %}]"


def test_too_late_for_bluegrass_not_for_ryegrass(ask: Ask) -> None:
    (answer,) = ask("central_iowa", BLUEGRASS_RYEGRASS, "should I overseed", "2015-09-22").answers
    assert answer.decision.verdict == "missed"
    assert answer.advice[0].startswith("For the perennial ryegrass in the mixture (20 %): ")
    assert "too late" not in answer.advice[0].lower()


def test_the_season_of_the_other_grass_is_told(ask: Ask) -> None:
    (answer,) = ask("central_iowa", BLUEGRASS_RYEGRASS, "should I overseed", "2015-08-25").answers
    (said,) = [text for text in answer.advice if "in the mixture (" in text]
    assert said.startswith("For the perennial ryegrass in the mixture (20 %): the season closes")
    assert answer.window is not None


def test_the_height_that_suits_both(ask: Ask) -> None:
    (answer,) = ask("central_iowa", FESCUE_BLUEGRASS, "should I mow", "2015-06-01").answers
    (said,) = [text for text in answer.advice if "in print" in text]
    assert "tall fescue 3 in to 4 in; Kentucky bluegrass 2.5 in to 3.5 in" in said
    assert "3 in to 3.5 in suits all" in said


def test_one_grass_has_no_mixture(ask: Ask) -> None:
    (answer,) = ask("central_iowa", "[{grass: tall_fescue}]", "should I mow", "2015-06-01").answers
    assert not any("mixture" in text for text in answer.advice)


def test_wrong_grass_names_what_suits(ask: Ask) -> None:
    stand = "[{grass: kentucky_bluegrass}]"
    (answer,) = ask("clemson_sc", stand, "is this the wrong grass", "2015-06-01").answers
    assert answer.decision.verdict == "do"
    assert answer.headline == "Do it"
    assert answer.season == ""
    (named,) = [text for text in answer.advice if "nothing speaks against" in text]
    for grass in ("tall fescue", "zoysiagrass", "bermudagrass"):
        assert grass in named
    assert "bluegrass" not in named


def test_shade_asks_for_another_grass(ask: Ask) -> None:
    stand = "[{grass: perennial_ryegrass}]"
    shaded = ask("central_iowa", stand, "is this the wrong grass", "2015-06-01", sun="shade")
    (answer,) = shaded.answers
    assert answer.decision.verdict == "do"
    (named,) = [text for text in answer.advice if "nothing speaks against" in text]
    assert named == "By the same comparison nothing speaks against fine fescues."


@pytest.mark.parametrize("on", ["2015-08-27", "2015-09-19"])
def test_the_week_tells_what_the_other_grass_would_change(
    lawn_of: LawnOf, book: RuleBook, on: str
) -> None:
    """Another verdict stands with the task itself, another end of the season with its details."""
    stand = BLUEGRASS_RYEGRASS.replace("80", "20", 1).replace("20 %}]", "80 %}]")
    lawn = lawn_of("central_iowa", stand)
    with (Path(lawn.name) / "journal.csv").open("a", encoding="utf-8") as file:
        file.write(f"r2,{on},observation,turf_state,growing,,\n")
    lawn = open_case(Path(lawn.name), book, dt.date.fromisoformat(on))
    week = compose_week(lawn)
    (job,) = [answer for answer in week.do if answer.decision.operation.id == "low_mow"]
    said = "For the Kentucky bluegrass in the mixture (20 %): "
    (task,) = [t for t in digest_of(week).tasks if t.title.startswith("Low mowing")]
    if on < "2015-09-01":
        assert job.mixture == ()
        assert job.advice[0].startswith(f"{said}the season closes about")
        assert said not in task.first
    else:
        assert job.mixture[0].startswith(f"{said}not needed")
        assert said in task.first
