"""The spring cut of warm-season grass and the mowing season around it, against dates in print.

Sources: Clemson HGIC, zoysiagrass and bermudagrass programs (the low cut comes just before
green-up, late April or early May, at 1-1½ in); Rimi and others 2011, HortTechnology 21:230-235
(13 March, at 28 mm, in Padova) and Serena and others 2010 (15 mm). Record of Clemson, South
Carolina: tests/data/weather/README.md.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path
from statistics import median

import numpy as np
import pytest

from advisor.decide.windows.outlook import outlook
from advisor.facts.axis import build_axis
from advisor.facts.fact import Lawn
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import leaves
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather

RECORD = Path(__file__).parents[1] / "data" / "weather" / "clemson_sc.csv.gz"
HARD_FREEZE_C = -20 / 9
"""28 °F, the hard freeze of the U.S. National Weather Service."""
ON = dt.date(2014, 12, 1)
Rows = list[list[str]]


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="module")
def rows() -> Rows:
    with gzip.open(RECORD, "rt", encoding="utf-8") as file:
        return [row[:4] for row in csv.reader(file)]


@pytest.fixture(scope="module")
def weather(rows: Rows, tmp_path_factory: pytest.TempPathFactory) -> WeatherFacts:
    path = tmp_path_factory.mktemp("clemson") / "weather.csv"
    path.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
    axis = build_axis(read_weather(path, today=dt.date(2022, 1, 1)), None, ON, 34.7)
    assert axis is not None
    return WeatherFacts(axis, Lawn(34.7, 250.0, season_type="warm"))


def last_hard_freezes(rows: Rows) -> dict[int, int]:
    """Day of the year of each spring's last night of 28 °F, straight from the record."""
    at = rows[0].index("air_min_c")
    last: dict[int, int] = {}
    for row in rows[1:]:
        day = dt.date.fromisoformat(row[0])
        if row[at] and float(row[at]) <= HARD_FREEZE_C and day.month < 7:
            last[day.year] = day.timetuple().tm_yday
    return last


@pytest.mark.parametrize("grass", ["bermudagrass", "zoysiagrass"])
def test_low_cut_comes_before_green_up_and_after_the_freeze(
    grass: str, book: RuleBook, weather: WeatherFacts, rows: Rows
) -> None:
    concrete = book.operations["low_mow"].for_grass(book.grasses[grass])
    (spring,) = (o for o in outlook(concrete, weather, {}).later[:1])
    assert spring.window.id == "before_green_up"
    # Green-up at Clemson: late April or early May.
    assert dt.date(2015, 4, 15) <= spring.closes.p50 <= dt.date(2015, 5, 10)
    last = median(last_hard_freezes(rows).values())
    freeze = dt.date(2015, 1, 1) + dt.timedelta(days=int(last) - 1)
    assert abs(spring.opens.p50 - freeze) <= dt.timedelta(days=7)


def test_no_hard_freeze_ahead_means_what_the_record_says(weather: WeatherFacts, rows: Rows) -> None:
    # On the observed days of spring 2014 the fact turns false the day after the last such night.
    ahead = weather.series("hard_freeze_ahead")[0]
    day = dt.date(2014, 1, 1) + dt.timedelta(days=last_hard_freezes(rows)[2014] - 1)
    at = weather.axis.index(day)
    assert ahead[at] == 1.0
    assert not ahead[at + 1 : weather.axis.index(dt.date(2014, 6, 1))].any()
    assert not np.isnan(ahead[at : at + 60]).any()


def test_low_enough_is_what_was_cut(book: RuleBook) -> None:
    need = book.operations["low_mow"].need
    (limit,) = (
        x.limit
        for x in leaves(need)
        if x.fact == "grass_height" and isinstance(x.limit, float) and "sc_zoysia" in x.evidence
    )
    # South Carolina's upper height for zoysiagrass; the trials on bermudagrass went lower.
    assert limit == pytest.approx(1.5 * 25.4)
    assert limit > 28 > 15


def test_the_mowing_season_of_bermudagrass_holds_the_green_months(
    book: RuleBook, weather: WeatherFacts
) -> None:
    concrete = book.operations["mowing"].for_grass(book.grasses["bermudagrass"])
    season = outlook(concrete, weather, {}).later[0]
    # Green-up in late April or early May lies within; growth can begin a month before it.
    assert dt.date(2015, 2, 20) <= season.opens.p50 <= dt.date(2015, 4, 15)
    assert dt.date(2015, 10, 20) <= season.closes.p50 <= dt.date(2015, 12, 10)
