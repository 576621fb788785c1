"""site.yaml as a record: canonical units, unknowns as None, names in one form."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from advisor.base.problems import BadInput
from advisor.base.strict_yaml import load_text
from advisor.records.check_site import check_site
from advisor.records.read_site import read_site
from advisor.records.record import Site, Soil, Water

GRASSES = ("kentucky_bluegrass", "perennial_ryegrass", "tall_fescue")
SMALLEST = """\
format: 1
name: Lawn
place: {latitude: -43.5, longitude: 172.6}
stand: [{grass: dont_know}]
areas: [{name: lawn, size: 100 m2}]
"""


@pytest.fixture
def site(tmp_path: Path, site_text: str, today: dt.date) -> Site:
    (tmp_path / "site.yaml").write_text(site_text, encoding="utf-8")
    return read_site(tmp_path, GRASSES, today)


def test_quantities_are_canonical(site: Site) -> None:
    assert site.place.elevation == pytest.approx(320.04)
    assert site.area("front").size == pytest.approx(278.70912)
    assert site.total_area == pytest.approx(378.70912)
    assert site.stand[1].share == 0.8
    assert site.water.zones[0].precipitation_rate == pytest.approx(12.7)
    assert site.tools[0].width == pytest.approx(482.6)
    assert site.tools[0].block == 4
    assert site.people.hours_per_day == 6


def test_words_are_brought_to_one_form(site: Site) -> None:
    assert [part.grass for part in site.stand] == ["perennial_ryegrass", "kentucky_bluegrass"]
    assert site.area_names == {"front", "back_yard"}
    assert site.water.zones[0].areas == ("front", "back_yard")
    assert site.soil.texture == "silt_loam"
    assert site.water.irrigated is True
    assert site.area("front").near_water is False
    assert site.tools[0].kind == "core_aerator"
    assert site.tools[0].have == "hired"
    assert site.people.free_days == ("saturday", "sunday")


def test_stands_of_areas(site: Site) -> None:
    assert site.leading_grass() == "kentucky_bluegrass"
    assert site.leading_grass("front") == "kentucky_bluegrass"
    assert site.leading_grass("back_yard") == "tall_fescue"
    assert site.stand_of("front") == site.stand
    assert site.seed == "kentucky_bluegrass"
    with pytest.raises(KeyError):
        site.area("roof")


def test_the_rest(site: Site) -> None:
    assert site.unit_system == "us"
    assert site.sown_on == dt.date(2019, 9, 1)
    assert site.water.restrictions_checked == dt.date(2026, 8, 1)


def test_what_is_left_out_is_unknown(today: dt.date) -> None:
    site = check_site(load_text(SMALLEST, "f"), GRASSES, today)
    assert site.leading_grass() is None
    assert site.seed is None
    assert site.soil == Soil() == Soil(texture=None)
    assert site.water == Water(irrigated=None, can_water_seed=None)
    assert site.areas[0].sun is None
    assert site.unit_system == "metric"
    assert site.tools == ()


def test_an_empty_section_is_like_none(today: dt.date) -> None:
    emptied = f"{SMALLEST}soil:\nwater:\n  zones:\npeople:\ntools:\n"
    assert check_site(load_text(emptied, "f"), GRASSES, today) == check_site(
        load_text(SMALLEST, "f"), GRASSES, today
    )


def test_seed_named_by_the_keeper(today: dt.date) -> None:
    text = f"{SMALLEST}sowing: tall fescue\nunits: us\n"
    site = check_site(load_text(text, "f"), GRASSES, today)
    assert site.seed == "tall_fescue"
    assert site.unit_system == "us"


def test_units_of_the_country(today: dt.date) -> None:
    text = SMALLEST.replace("-43.5, longitude: 172.6", "41.1, longitude: -81.6, country: US")
    assert check_site(load_text(text, "f"), GRASSES, today).unit_system == "us"
    canada = text.replace("US", "CA")
    assert check_site(load_text(canada, "f"), GRASSES, today).unit_system == "metric"


def test_any_grass_passes_where_none_are_known(today: dt.date) -> None:
    text = SMALLEST.replace("dont_know", "moss")
    assert check_site(load_text(text, "f"), None, today).leading_grass() == "moss"


def test_today_is_not_in_the_future(today: dt.date) -> None:
    text = f"{SMALLEST}sown_on: {today}\n"
    assert check_site(load_text(text, "f"), GRASSES, today).sown_on == today
    with pytest.raises(BadInput, match="lies in the future"):
        check_site(load_text(text, "f"), GRASSES, today - dt.timedelta(days=1))


def test_shares_may_be_rounded(today: dt.date) -> None:
    three = "stand: [{grass: kentucky_bluegrass, share: 33.3 %}, "
    three += "{grass: tall_fescue, share: 33.3 %}, {grass: dont_know, share: 33.3 %}]"
    text = SMALLEST.replace("stand: [{grass: dont_know}]", three)
    assert len(check_site(load_text(text, "f"), GRASSES, today).stand) == 3
    with pytest.raises(BadInput, match="add up to 99 %"):
        check_site(load_text(text.replace("33.3", "33", 1).replace("33.3", "33"), "f"), None, today)
