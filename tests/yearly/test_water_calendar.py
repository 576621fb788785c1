"""The whole water programme on invented lawns: timetable, table and calendar agree."""

from __future__ import annotations

import csv
import datetime as dt
import io
import itertools
from pathlib import Path

import pytest
import vobject

from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.planning.waterplan import WaterPlan, compose_waterplan
from advisor.render.sheets.waterplan_pages import waterplan_csv, waterplan_json, waterplan_text
from advisor.render.yearly.calendar_file import timed_bytes
from advisor.render.yearly.water_calendar import water_events
from advisor.rulebook.read_rulebook import read_rulebook

DAY = dt.date(2026, 9, 5)
WATER = "water: {irrigated: true, can_water_seed: true}"
THREE = """\
water:
  irrigated: true
  can_water_seed: true
  restrictions_checked: 2026-09-01
  price: 4
  zones:
    - {name: front, areas: [front], precipitation_rate: 40 mm/h, uniformity: 62 %}
    - {name: back, areas: [back], precipitation_rate: 12 mm/h, uniformity: 75 %}
    - {name: by the hedge, areas: [back], precipitation_rate: 15 mm/h}
"""


def lawn_with(folder: Path, water: str, units: str = "metric") -> Case:
    site = write_demo(folder) / "site.yaml"
    text = site.read_text(encoding="utf-8").replace(WATER, water.rstrip())
    assert text.count("zones") == water.count("zones")
    site.write_text(text.replace("units: us", f"units: {units}"), encoding="utf-8")
    return open_case(site.parent, read_rulebook())


@pytest.fixture(scope="module")
def lawn(tmp_path_factory: pytest.TempPathFactory) -> Case:
    return lawn_with(tmp_path_factory.mktemp("three"), THREE)


@pytest.fixture(scope="module")
def seed(lawn: Case) -> WaterPlan:
    return compose_waterplan(replace(lawn, on=DAY), 35, sown=dt.date(2026, 9, 7))


def test_the_calendar_reads_back(seed: WaterPlan) -> None:
    """vobject, another library, finds the same minutes in it, each turn with a reminder."""
    raw = timed_bytes("water", water_events(seed))
    assert raw == timed_bytes("water", water_events(seed))
    events = vobject.readOne(raw.decode()).vevent_list
    assert events
    told = 0
    for event in events:
        assert event.dtstart.value < event.dtend.value
        assert event.valarm.trigger.value == dt.timedelta(minutes=-15)
        told += sum(int(line.split()[-2]) for line in event.description.value.splitlines())
    assert told == sum(run.end - run.start for day in seed.days for run in day.runs)
    assert len({event.uid.value for event in events}) == len(events)
    first = seed.days[0].runs[0]
    # New York is four hours behind UTC in September.
    start = events[0].dtstart.value.astimezone(dt.UTC)
    assert start.hour * 60 + start.minute == first.start + 4 * 60


def test_the_table_holds_every_run(seed: WaterPlan) -> None:
    rows = list(csv.DictReader(io.StringIO(waterplan_csv(seed))))
    assert len(rows) == sum(len(day.runs) for day in seed.days)
    told = waterplan_json(seed)
    assert sum(int(row["minutes"]) for row in rows) == sum(
        run["minutes"] for day in told["days"] for run in day["runs"]
    )


def test_water_and_cost_by_hand(seed: WaterPlan) -> None:
    """1 mm on 1 m² is 1 litre; the two zones of the back share it evenly."""
    sizes = {"front": 3000 * 0.09290304, "back": 1100 * 0.09290304}
    sizes["by_the_hedge"] = sizes["back"]
    rates = {"front": 40, "back": 12, "by_the_hedge": 15}
    litres = 0.0
    for row in csv.DictReader(io.StringIO(waterplan_csv(seed))):
        litres += rates[row["zone"]] * int(row["minutes"]) / 60 * sizes[row["zone"]]
    assert seed.litres == pytest.approx(litres)
    assert waterplan_json(seed)["cost"] == pytest.approx(4 * litres / 1000, abs=0.01)


def test_seed_from_often_to_seldom(seed: WaterPlan) -> None:
    """Half an inch first, after noon, once it is sown; then three a day; then every second day."""
    first = seed.days[0]
    assert min(run.start for run in first.runs) >= 14 * 60
    back = sum(run.end - run.start for run in first.runs if run.zone == "by_the_hedge")
    assert 12.7 <= back * 15 / 60 <= 12.7 + 15 / 60
    turns = [sum(run.zone == "by_the_hedge" for run in day.runs) for day in seed.days]
    assert set(turns[1:14]) <= {1, 2, 3}
    assert 3 in turns[1:14]
    assert 0 in turns[21:31]


def test_no_two_zones_at_once_and_dry_by_night(seed: WaterPlan) -> None:
    for day in seed.days:
        for one, two in itertools.pairwise(day.runs):
            assert one.end <= two.start
        assert all(run.end <= 18 * 60 for run in day.runs)


def test_grown_turf_ends_in_the_morning(lawn: Case) -> None:
    plan = compose_waterplan(replace(lawn, on=DAY), 14)
    runs = [run for day in plan.days for run in day.runs]
    assert runs
    assert max(run.end for run in runs) <= 10 * 60
    tight = compose_waterplan(replace(lawn, on=DAY), 14, hours=(300, 330))
    assert any(day.gave_up for day in tight.days)
    assert "NO ROOM" in waterplan_text(tight)


def test_what_the_page_says(seed: WaterPlan) -> None:
    text = waterplan_text(seed)
    for said in ("common practice", "First mowing", "m³", "MIND", "Hoses", "not checked"):
        assert said in text
    assert max(map(len, text.splitlines())) <= 80


def test_refusals(lawn: Case, tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no 'zones'"):
        compose_waterplan(open_case(write_demo(tmp_path), read_rulebook(), DAY))
    with pytest.raises(BadInput, match="1 to 60"):
        compose_waterplan(replace(lawn, on=DAY), 0)
    with pytest.raises(BadInput, match="ago"):
        compose_waterplan(replace(lawn, on=DAY), sown=dt.date(2026, 6, 1))


def test_a_ban_stands_above_the_timetable(tmp_path: Path) -> None:
    lawn = lawn_with(tmp_path, THREE)
    with (Path(lawn.name) / "journal.csv").open("a", encoding="utf-8") as journal:
        journal.write("w1,2026-09-05,observation,watering_allowed,no,,\n")
    plan = compose_waterplan(open_case(Path(lawn.name), lawn.book, DAY))
    assert not plan.allowed
    assert not any(day.runs for day in plan.days)
    assert "forbid watering" in waterplan_text(plan)
