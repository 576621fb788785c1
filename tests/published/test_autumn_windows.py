"""Windows of the autumn jobs on real weather, against dates in print.

Sources: Iowa State (2021: cool-season grass stops growing in early to mid-November in central Iowa;
2013: feed in mid-September and in late October to early November), Purdue (2013: the late feeding
near the last mowing, in the first weeks of November in Indiana; September once highs leave the
nineties), Nebraska G1946 (bluegrass grows from early April to late November), Maryland (2023: no
feeding from June to August). Records: tests/data/weather/README.md. The days that the words are
taken to mean stand beside each check, with a week's grace where the place is not the one in print.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path

import pytest

from advisor.decide.windows.outlook import outlook
from advisor.facts.axis import build_axis
from advisor.facts.fact import Lawn
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather

DATA = Path(__file__).parents[1] / "data" / "weather"
LATITUDES = {"central_iowa": 42.0, "champion_ne": 40.4, "norfolk_uk": 52.6}
ON = dt.date(2015, 6, 25)
Dates = dict[str, tuple[dt.date, dt.date]]


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="module")
def weather(tmp_path_factory: pytest.TempPathFactory) -> dict[str, WeatherFacts]:
    found = {}
    for place, latitude in LATITUDES.items():
        path = tmp_path_factory.mktemp(place) / "weather.csv"
        with gzip.open(DATA / f"{place}.csv.gz", "rt", encoding="utf-8") as file:
            rows = [row[:4] for row in csv.reader(file)]
        path.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
        table = read_weather(path, today=dt.date(2022, 1, 1))
        axis = build_axis(table, None, ON, latitude)
        assert axis is not None
        found[place] = WeatherFacts(axis, Lawn(latitude, 300.0))
    return found


@pytest.fixture
def dates(book: RuleBook, weather: dict[str, WeatherFacts]):
    """dates(place, operation) -> window id to its median opening and closing, soonest first.

    With `coming` what is open or over already is left out.
    """

    def find(place: str, operation: str, *, coming: bool = False) -> Dates:
        concrete = book.operations[operation].for_grass(book.grasses["kentucky_bluegrass"])
        seen = outlook(concrete, weather[place], {})
        found: Dates = {}
        known = () if coming or seen.current is None else (seen.current,)
        for opening in (*known, *seen.later):
            found.setdefault(opening.window.id, (opening.opens.p50, opening.closes.p50))
        return found

    return find


def between(day: dt.date, first: tuple[int, int], last: tuple[int, int]) -> bool:
    return dt.date(day.year, *first) <= day <= dt.date(day.year, *last)


def test_mowing_ends_when_iowa_says(dates) -> None:
    # "Early to mid-November" in central Iowa.
    (_, last) = dates("central_iowa", "mowing")["growing_season"]
    assert between(last, (11, 1), (11, 20))


def test_mowing_lasts_as_long_as_bluegrass_grows_in_nebraska(dates) -> None:
    # "Early April to late November"; Champion lies high in the south-west.
    (first, last) = dates("champion_ne", "mowing")["growing_season"]
    assert between(first, (4, 1), (4, 20))
    assert between(last, (11, 8), (11, 30))


def test_feeding_in_iowa(dates) -> None:
    found = dates("central_iowa", "feeding")
    (first, last) = found["early_autumn"]
    # Mid-September lies inside; none from June to August but its last days.
    assert between(first, (8, 25), (9, 10))
    assert last > dt.date(last.year, 9, 20)
    # Late October to early November, in Indiana the first weeks of November.
    (late_first, late_last) = found["late_autumn"]
    assert between(late_first, (10, 22), (11, 7))
    assert between(late_last, (11, 7), (11, 30))
    assert last < late_first


@pytest.mark.parametrize("place", LATITUDES)
def test_the_early_and_the_late_feeding_do_not_overlap(place: str, dates) -> None:
    found = dates(place, "feeding")
    assert found["early_autumn"][1] < found["late_autumn"][0]
    assert found["early_autumn"][0] >= dt.date(2015, 8, 25)


@pytest.mark.parametrize("place", LATITUDES)
def test_low_cuts_begin_before_the_sowing_and_end_with_it(place: str, dates) -> None:
    (first, last) = dates(place, "low_mow")["autumn"]
    (sow_first, sow_last) = dates(place, "overseeding")["autumn"]
    assert dt.timedelta(0) <= sow_first - first <= dt.timedelta(days=21)
    assert last == sow_last


@pytest.mark.parametrize("place", LATITUDES)
def test_water_off_when_growth_slows(place: str, dates) -> None:
    # Medians of the same records: tests/published/test_freeze.py has them against tables in print.
    # Where the first hard freeze comes while the grass grows, the water goes off after it and, as
    # Meridian (Idaho) prints, by 31 October; else two weeks are left before it.
    median = {"central_iowa": (10, 21), "champion_ne": (10, 9), "norfolk_uk": (12, 15)}[place]
    freeze = dt.date(2015, *median)
    found = dates(place, "winter_care")
    (again, ground) = found["after_freeze"]
    (first, last) = found.get("before_freeze", (again, again))
    if place == "norfolk_uk":
        assert abs(last - freeze) <= dt.timedelta(days=6)
        assert last - first >= dt.timedelta(days=14)
    else:
        assert between(first, (10, 10), (10, 31))
    # There is no gap, and buried pipes have until cold soil.
    assert between(again, (10, 10), (12, 31))
    assert ground >= again + dt.timedelta(days=14)


def test_seed_is_watered_from_spring_to_cold_soil(dates) -> None:
    found = dates("central_iowa", "seedling_watering")
    # Spring seeding in Iowa is April to mid-May (Iowa State 2012).
    assert between(found["spring"][0], (3, 25), (4, 25))
    assert between(found["summer_autumn"][1], (11, 10), (12, 5))


@pytest.mark.parametrize("place", LATITUDES)
def test_leaves_are_cleared_from_september_to_spring(place: str, dates) -> None:
    found = dates(place, "leaf_litter", coming=True)
    (first, cold), (_, last) = found["leaf_fall"], found["winter"]
    winter = min(found[window][0] for window in ("winter", "mild_winter"))
    assert between(first, (9, 5), (9, 25))
    assert between(cold, (11, 10), (12, 31))
    assert winter <= cold + dt.timedelta(days=7)
    assert between(last, (4, 1), (5, 10))
    assert last.year == first.year + 1
