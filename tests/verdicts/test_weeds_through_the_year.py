"""Preventer, weed killer and grub killer beside the sowings, through a real year of central Iowa.

Every sign is set so that each of them is wanted; still neither weed preventer nor weed killer may
be advised on a day on which a sowing is, and nothing outside the United States. Record:
tests/data/weather/README.md.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path

import pytest

from advisor.cases.parts import grass_of_lawn
from advisor.decide.verdicts.decide import Decider
from advisor.facts.axis import build_axis
from advisor.facts.day import assemble_day
from advisor.records.check_site import as_record
from advisor.records.journal import read_journal
from advisor.records.record import Site
from advisor.records.site_keys import SiteKeys
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

DATA = Path(__file__).parents[1] / "data" / "weather" / "central_iowa.csv.gz"
BOOK = read_rulebook(cache=False)
SOWINGS = ("overseeding", "new_seeding", "spring_seeding", "dormant_seeding")
KILLERS = ("preemergent", "broadleaf_weeds", "grubs")
SIGNS = {
    "summer_grass_weeds": "yes", "winter_grass_weeds": "yes", "preventer_label": "yes",
    "preventer_at_hand": "dithiopyr", "weed_preventer": "none", "weed_share": "20 %",
    "weed_killer_label": "yes", "grub_count": "12 /ft2", "grub_killer_label": "yes",
    "turf_state": "growing", "soil_feel": "moist", "good_turf_share": "70 %",
}  # fmt: skip
LATITUDE = 42.0


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> WeatherTable:
    path = tmp_path_factory.mktemp("iowa") / "weather.csv"
    with gzip.open(DATA, "rt", encoding="utf-8") as file:
        rows = [row[:4] for row in csv.reader(file)]
    path.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
    return read_weather(path, today=dt.date(2022, 1, 1))


def verdicts(
    table: WeatherTable, on: dt.date, grass: str, country: str, folder: Path
) -> dict[str, str]:
    site = as_record(SiteKeys.model_validate(
        {"format": 1, "name": "x", "stand": [{"grass": grass}],
         "place": {"latitude": LATITUDE, "longitude": -93.0, "country": country},
         "areas": [{"name": "a", "size": "3000 ft2"}],
         "water": {"irrigated": True, "can_water_seed": True}}
    ), Site)  # fmt: skip
    seen = on - dt.timedelta(days=1)
    rows = [f"r{i},{seen},observation,{k},{v},," for i, (k, v) in enumerate(SIGNS.items())]
    journal = folder / "journal.csv"
    header = "id,date,kind,what,value,area,note"
    journal.write_text("\n".join([header, *rows]) + "\n", encoding="utf-8")
    known = read_journal(
        journal, BOOK.vocabulary, frozenset(BOOK.operations), dt.date(2022, 1, 1), None
    )
    axis = build_axis(table, None, on, LATITUDE)
    lawn = grass_of_lawn(BOOK.grasses[grass], BOOK)
    day = assemble_day(site, known, axis, lawn, BOOK.vocabulary, on, None)
    decider = Decider(BOOK, day, "us")
    return {id: decider.decide(id).verdict for id in (*KILLERS, *SOWINGS)}


@pytest.mark.parametrize("grass", ["kentucky_bluegrass", "tall_fescue", "zoysiagrass"])
def test_no_killer_and_sowing_on_one_day(grass: str, table: WeatherTable, tmp_path: Path) -> None:
    done: set[str] = set()
    for month, day in ((1, 15), (4, 25), (5, 5), (6, 10), (8, 20), (9, 10), (10, 10), (12, 10)):
        found = verdicts(table, dt.date(2018, month, day), grass, "US", tmp_path)
        today = {id for id, verdict in found.items() if verdict == "do"}
        assert not (today & {"preemergent", "broadleaf_weeds"} and today & set(SOWINGS)), today
        done |= today
    # The year is no empty one: each of them has its days.
    assert set(KILLERS) <= done


def test_none_outside_the_united_states(table: WeatherTable, tmp_path: Path) -> None:
    for month, day in ((4, 25), (9, 10), (10, 10)):
        found = verdicts(table, dt.date(2018, month, day), "tall_fescue", "CA", tmp_path)
        assert "do" not in {found[id] for id in KILLERS}
