"""What an answer says of the law: what was read, what was not, and never that silence allows."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from advisor.answers.consult import consult
from advisor.answers.law import law_line
from advisor.base.record import replace
from advisor.cases.case import Case, local_law
from advisor.cases.open_folder import open_case
from advisor.rulebook.read_rulebook import read_rulebook

BOOK = read_rulebook()
MONTHS = range(1, 13)
SHAPE = (-6, -5, -3, 0, 2, 3, 4, 4, 3, 0, -3, -5)


@pytest.fixture
def lawn_in(tmp_path: Path):
    """lawn_in(country, subdivision, county) -> an invented lawn without records or weather."""

    def opened(
        country: str = "",
        subdivision: str = "",
        county: str = "",
        *,
        grass: str = "kentucky_bluegrass",
        normals: bool = False,
    ) -> Case:
        place = [("country", country), ("subdivision", subdivision), ("county", county)]
        lines = "".join(f'  {key}: "{value}"\n' for key, value in place if value)
        (tmp_path / "site.yaml").write_text(
            "format: 1\nname: Test\nplace:\n  latitude: 40.0\n  longitude: -75.0\n"
            f"{lines}stand:\n  - {{grass: {grass}}}\n"
            "areas:\n  - {name: front, size: 3000 ft2}\n",
            encoding="utf-8",
        )
        if normals:
            rows = (
                f"{month},{30 + SHAPE[month - 1]},{18 + SHAPE[month - 1]},100" for month in MONTHS
            )
            text = "\n".join(("month,air_max_c,air_min_c,rain_mm", *rows)) + "\n"
            (tmp_path / "normals.csv").write_text(text, encoding="utf-8")
        return open_case(tmp_path, BOOK)

    return opened


def test_a_place_whose_law_was_read(lawn_in) -> None:
    line = law_line(lawn_in("US", "NJ"))
    assert line.startswith("Rules read: New Jersey on fertiliser (N.J.S.A. 58:10A-62 and ")
    assert "25 Nov 2026" in line
    missing = line.split("Not checked: ")[1]
    assert "weed killers" in missing
    assert "watering" in missing
    assert "your county, town and watershed" in missing
    assert "labels and local codes stand above this advice." in missing


def test_a_county_whose_law_was_read(lawn_in) -> None:
    line = law_line(lawn_in("US", "FL", "Seminole"))
    assert "Seminole County, Florida on fertiliser" in line
    assert "the rules of your town and watershed" in line


def test_a_country_with_rules_on_pesticides_alone(lawn_in) -> None:
    line = law_line(lawn_in("US", "OH"))
    assert line.startswith("Local rules of Ohio on fertiliser, weed killers and watering were not")
    # The lawn lies in the wrong half of the world for it; only the code counts here.
    other = law_line(lawn_in("CA", "ON"))
    assert other.startswith("Rules read: Ontario on weed killers")
    assert "those on fertiliser" in other.split("Not checked: ")[1]


def test_a_place_that_is_not_named(lawn_in) -> None:
    line = law_line(lawn_in())
    assert line.startswith("Local rules on fertiliser, weed killers and watering were not checked;")


def test_what_reaches_the_facts(lawn_in) -> None:
    jersey = local_law(replace(lawn_in("US", "NJ"), on=dt.date(2026, 9, 5)))
    assert jersey.checked
    assert jersey.bans == (((11, 16), (2, 29)),)
    assert jersey.phosphorus is True
    ohio = local_law(replace(lawn_in("US", "OH"), on=dt.date(2026, 9, 5)))
    assert not ohio.checked
    assert ohio.bans == ()
    assert ohio.phosphorus is None


def test_the_law_is_said_with_the_job_that_it_concerns(lawn_in) -> None:
    lawn = lawn_in("US", "NJ")
    (feeding,) = consult(replace(lawn, on=dt.date(2026, 9, 5)), "should I feed the lawn").answers
    (said,) = (line for line in feeding.advice if line.startswith("The law in New Jersey"))
    for part in ("after 15 November", "no phosphorus on turf, except", "25 ft from water"):
        assert part in said
    (mowing,) = consult(replace(lawn, on=dt.date(2026, 9, 5)), "should I mow").answers
    assert not any("New Jersey" in line for line in mowing.advice)
    assert consult(replace(lawn, on=dt.date(2026, 9, 5)), "should I mow").law == law_line(lawn)


def test_a_deadline_is_never_later_than_the_day_before_a_ban(lawn_in) -> None:
    # Seminole County: none from 1 June on, while the season of the grass runs to the end of August
    # (Georgia: August the last). Normals of an invented frost-free place.
    lawn = lawn_in("US", "FL", "Seminole", grass="st_augustinegrass", normals=True)
    (answer,) = consult(replace(lawn, on=dt.date(2026, 5, 22)), "should I feed the lawn").answers
    assert answer.decision.outlook.state == "open"
    assert answer.decision.by == dt.date(2026, 5, 31)
    elsewhere = lawn_in("US", "GA", grass="st_augustinegrass", normals=True)
    (answer,) = consult(
        replace(elsewhere, on=dt.date(2026, 5, 22)), "should I feed the lawn"
    ).answers
    assert answer.decision.by is not None
    assert answer.decision.by > dt.date(2026, 8, 1)
