"""The place's coldest night and hot days on real weather, against where grasses are grown in print.

Sources: Clemson HGIC 1223 Table 1 (tall fescue, bermudagrass, zoysia, St. Augustinegrass and
centipedegrass are lawn grasses of the South Carolina Piedmont, where Clemson lies; Kentucky
bluegrass and perennial ryegrass are in no column), Nebraska G1946 (bluegrass and buffalograss are
lawn grasses of Nebraska), UGA (cool-season turf by name). Records: tests/data/weather/README.md.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path

import numpy as np
import pytest

from advisor.facts.axis import build_axis
from advisor.facts.fact import Lawn
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import leaves
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.signals.season_shape import mean_hot_days, mean_lowest
from advisor.weather.read_weather import read_weather

DATA = Path(__file__).parents[1] / "data" / "weather"
LATITUDES = {"champion_ne": 40.4, "clemson_sc": 34.7, "norfolk_uk": 52.6}
ON = dt.date(2015, 6, 25)


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="module")
def climate(tmp_path_factory: pytest.TempPathFactory) -> dict[str, tuple[float, float]]:
    """Place -> its lowest night, °C, and its hot days a year."""
    found = {}
    for place, latitude in LATITUDES.items():
        path = tmp_path_factory.mktemp(place) / "weather.csv"
        with gzip.open(DATA / f"{place}.csv.gz", "rt", encoding="utf-8") as file:
            rows = [row[:4] for row in csv.reader(file)]
        path.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
        axis = build_axis(read_weather(path, today=dt.date(2022, 1, 1)), None, ON, latitude)
        assert axis is not None
        facts = WeatherFacts(axis, Lawn(latitude, 300.0))
        both = [facts.series(name)[0, axis.today] for name in ("lowest_night", "hot_days")]
        found[place] = (float(both[0]), float(both[1]))
    return found


def test_by_hand() -> None:
    low = np.array([[5.0, -3.0, 1.0], [4.0, -7.0, 2.0]])
    assert mean_lowest(low) == -5.0
    assert mean_hot_days(np.array([[32.2, 33.0, 10.0], [31.0, 32.3, 9.0]])) == 1.5
    assert np.isnan(mean_hot_days(np.array([[32.2, np.nan]])))


def test_zones(climate: dict[str, tuple[float, float]]) -> None:
    # USDA Plant Hardiness Zone Map (2012 and 2023), from memory: Champion, Nebraska 5b (-15 to
    # -10 °F), Clemson 8a (10 to 15 °F); half a zone of grace for the record's other years.
    for place, zone in {"champion_ne": (-15, -10), "clemson_sc": (10, 15)}.items():
        fahrenheit = climate[place][0] * 9 / 5 + 32
        assert zone[0] - 5 <= fahrenheit <= zone[1] + 5


@pytest.mark.parametrize(
    ("place", "grasses"),
    [
        ("champion_ne", ["kentucky_bluegrass", "buffalograss"]),
        (
            "clemson_sc",
            ["tall_fescue", "bermudagrass", "zoysiagrass", "st_augustinegrass", "centipedegrass"],
        ),
    ],
)
def test_grasses_in_print_survive_the_winters(
    place: str, grasses: list[str], book: RuleBook, climate: dict[str, tuple[float, float]]
) -> None:
    for grass in grasses:
        assert climate[place][0] > book.grasses[grass].limits["winter_coldest"].value, grass


def test_warm_grasses_that_nebraska_does_not_grow(
    book: RuleBook, climate: dict[str, tuple[float, float]]
) -> None:
    for grass in ("st_augustinegrass", "centipedegrass", "bermudagrass", "bahiagrass"):
        assert climate["champion_ne"][0] < book.grasses[grass].limits["winter_coldest"].value


def test_the_limit_of_hot_days_lies_halfway(
    book: RuleBook, climate: dict[str, tuple[float, float]]
) -> None:
    need = book.operations["species_choice"].need
    said = [leaf.limit for leaf in leaves(need) if leaf.fact == "hot_days"]
    limits = sorted(x for x in said if isinstance(x, float))
    cool, hot = climate["champion_ne"][1], climate["clemson_sc"][1]
    maritime, low, moderate = limits
    assert climate["norfolk_uk"][1] < maritime < cool < low < hot < moderate
    assert low == pytest.approx((cool + hot) / 2, abs=1.5)
