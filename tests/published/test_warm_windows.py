"""Windows of thatch removal, coring and topdressing on warm-season turf, against dates in print.

Sources: K-State (Horticulture Newsletter, May 2015: thatch and cores June through July); Maryland
(lawn aeration: June and July); Mississippi State (Wells 2011: late spring through midsummer);
Georgia (1996: after green-up, before the heat of July and August; Waltz 2024: topdress in June and
again in mid-August); Tennessee (2018: not in autumn). Records: tests/data/weather/README.md; that
of Champion, Nebraska lies near the border of Kansas, that of Clemson, South Carolina near Georgia.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path

import pytest

from advisor.decide.windows.outlook import Outlook, outlook
from advisor.facts.axis import build_axis
from advisor.facts.fact import Lawn
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather

DATA = Path(__file__).parents[1] / "data" / "weather"
LATITUDES = {"champion_ne": 40.4, "clemson_sc": 34.7}
JOBS = ("thatch_removal", "core_aeration", "topdressing")


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="module")
def weather(tmp_path_factory: pytest.TempPathFactory):
    """weather(place, day) -> the facts of that place as known on that day."""
    tables = {}
    for place in LATITUDES:
        path = tmp_path_factory.mktemp(place) / "weather.csv"
        with gzip.open(DATA / f"{place}.csv.gz", "rt", encoding="utf-8") as file:
            rows = [row[:4] for row in csv.reader(file)]
        path.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
        tables[place] = read_weather(path, today=dt.date(2022, 1, 1))

    def on(place: str, day: dt.date) -> WeatherFacts:
        axis = build_axis(tables[place], None, day, LATITUDES[place])
        assert axis is not None
        return WeatherFacts(axis, Lawn(LATITUDES[place], 300.0, season_type="warm"))

    return on


@pytest.fixture
def seen(book: RuleBook, weather):
    def find(place: str, job: str, day: dt.date) -> Outlook:
        concrete = book.operations[job].for_grass(book.grasses["bermudagrass"])
        return outlook(concrete, weather(place, day), {})

    return find


@pytest.mark.parametrize("job", JOBS)
def test_the_season_on_the_border_of_kansas(job: str, seen) -> None:
    """Kansas prints June through July; the opening may come a fortnight sooner or in June."""
    found = seen("champion_ne", job, dt.date(2015, 3, 1)).later[0]
    assert dt.date(2015, 5, 18) <= found.opens.p50 <= dt.date(2015, 6, 25)
    last = dt.date(2015, 8, 15) if job == "topdressing" else dt.date(2015, 7, 31)
    assert abs((found.closes.p50 - last).days) <= 2


@pytest.mark.parametrize("job", JOBS)
def test_late_spring_in_the_south(job: str, seen) -> None:
    found = seen("clemson_sc", job, dt.date(2015, 2, 1)).later[0]
    assert dt.date(2015, 4, 15) <= found.opens.p50 <= dt.date(2015, 6, 1)


@pytest.mark.parametrize("job", JOBS)
@pytest.mark.parametrize(
    ("day", "state"),
    [
        (dt.date(2015, 3, 10), "before"),
        (dt.date(2015, 6, 15), "open"),
        (dt.date(2015, 7, 15), "open"),
        (dt.date(2015, 9, 20), "over"),
    ],
)
def test_the_year_round_in_the_south(job: str, day: dt.date, state: str, seen) -> None:
    """In one piece across midsummer, where one season year passes into the next; not in autumn."""
    assert seen("clemson_sc", job, day).state == state
