"""The evening before a day of work, on the invented demo lawn: go, half or wait."""

from __future__ import annotations

import datetime as dt
import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from advisor.base.dates import clock
from advisor.cli.main import app
from advisor.demo.scenario import write_demo
from advisor.weather.kept_weather import forecast_path

ONE = dt.timedelta(days=1)
FRIDAY = dt.date(2026, 9, 4)
MILD = (24.0, 12.0, 0.0)


@pytest.fixture
def site(tmp_path: Path) -> Path:
    """Its weather is known up to the Friday; Saturday to Monday are settled on Wednesday."""
    made = write_demo(tmp_path)
    rows = (made / "weather.csv").read_text(encoding="utf-8").splitlines()
    known = [row for row in rows if not re.match(r"\d", row) or row[:10] <= FRIDAY.isoformat()]
    (made / "weather.csv").write_text("\n".join(known) + "\n", encoding="utf-8")
    return made


def said(*words: str) -> str:
    found = CliRunner().invoke(app, list(words))
    assert found.exit_code == 0, found.output
    return " ".join(found.output.split())


def settle(site: Path) -> None:
    for gate in ("lines marked", "own lines flagged"):
        said("note", str(site), gate, "--on", "2026-09-02")
    said(
        "workplan", str(site), "--on", "2026-09-02", "--from", "2026-09-05", "--days", "3", "--keep"
    )


def foresee(site: Path, *days: tuple[float, float, float]) -> None:
    """A forecast of the Friday for the days from Saturday on: high, low, °C, and rain, mm."""
    path = forecast_path(site)
    path.parent.mkdir(exist_ok=True)
    rows = [f"{FRIDAY + (n + 1) * ONE},{','.join(map(str, day))}" for n, day in enumerate(days)]
    made = [f"# {name}: {FRIDAY}T12:00:00+00:00" for name in ("fetched", "issued")]
    head = ("# invented", *made, "date,max temp (C),min temp (C),rain (mm)")
    path.write_text("\n".join((*head, *rows)) + "\n", encoding="utf-8")


def eve(site: Path, on: dt.date = FRIDAY) -> dict:
    words = ("tomorrow", str(site), "--on", on.isoformat())
    text = said(*words)
    data = json.loads(said(*words, "--json"))
    if data["call"]:
        assert text.startswith(f"{data['call'].capitalize()}. ")
    return data | {"text": text}


def test_a_mild_dry_day_is_a_go_at_the_hours_of_the_plan(site: Path) -> None:
    settle(site)
    foresee(site, MILD, MILD, MILD)
    found = eve(site)
    assert (found["call"], found["waits"], found["forecast"]) == ("go", [], True)
    assert {each["job"] for each in found["doing"]} == {"low_mow", "thatch_removal"}
    assert f"Saturday 5 Sep, {found['from']} to {found['to']}:" in found["text"]
    # As the digest has them, from door to door.
    kept = json.loads((site / "plan.json").read_text(encoding="utf-8"))["days"][0]
    assert [found["from"], found["to"]] == [clock(kept["start"]), clock(kept["end"])]
    assert [list(each.values()) for each in found["doing"]] == kept["work"]
    assert len(found["text"].split()) < 30


def test_what_is_done_already_is_not_to_be_done(site: Path) -> None:
    settle(site)
    foresee(site, MILD, MILD, MILD)
    said("done", str(site), "mowed the front low", "--on", FRIDAY.isoformat())
    assert [each["job"] for each in eve(site)["doing"]] == ["thatch_removal"]
    said("done", str(site), "dethatched the front", "--on", FRIDAY.isoformat(), "--yes")
    found = eve(site)
    assert (found["call"], found["next"]) == (None, "2026-09-06")


def test_rain_that_is_forecast_says_wait_and_until_when(site: Path) -> None:
    settle(site)
    foresee(site, (24.0, 12.0, 11.0), MILD, MILD)
    found = eve(site)
    assert (found["call"], found["doing"], found["from"]) == ("wait", [], None)
    assert {each["why"] for each in found["waits"]} == {"rain"}
    # Sunday is free and dry.
    assert {each["next_day"]["date"] for each in found["waits"]} == {"2026-09-06"}
    assert "the next free day for it is Sunday 6 Sep" in found["text"]


@pytest.mark.slow
def test_the_work_plan_keeps_off_a_day_with_rain_in_the_forecast(site: Path) -> None:
    foresee(site, (24.0, 12.0, 11.0), MILD, MILD)
    words = ("workplan", str(site), "--on", "2026-09-04", "--from", "2026-09-05", "--days", "3")
    first, *others = json.loads(said(*words, "--json"))["days"]
    assert (first["fit"], first["tasks"]) == (False, [])
    assert any(day["tasks"] for day in others)


@pytest.mark.slow
def test_a_forecast_without_rain_tells_nothing_of_it(site: Path) -> None:
    settle(site)
    foresee(site, MILD, MILD, MILD)
    path = forecast_path(site)
    path.write_text(path.read_text().replace(",0.0\n", ",\n"), encoding="utf-8")
    assert eve(site)["call"] == "go"


def test_work_whose_gate_was_missed_waits_and_the_rest_goes_on(site: Path) -> None:
    said(
        "workplan", str(site), "--on", "2026-09-02", "--from", "2026-09-05", "--days", "3", "--keep"
    )
    found = eve(site, FRIDAY + ONE)
    assert found["call"] == "half"
    assert [each["job"] for each in found["waits"]] == ["core_aeration"]
    assert "could not be in time" in found["waits"][0]["why"]
    assert "No forecast of that day is on record" in found["text"]


@pytest.mark.slow
def test_what_is_still_to_be_seen_to_stands_with_the_go(site: Path) -> None:
    """The lines are marked, the keeper's own are not flagged, and that can still be done."""
    said("note", str(site), "lines marked", "--on", "2026-09-02")
    said(
        "workplan", str(site), "--on", "2026-09-02", "--from", "2026-09-05", "--days", "3", "--keep"
    )
    found = eve(site, FRIDAY + ONE)
    assert "core_aeration" in {each["job"] for each in found["doing"]}
    assert [gate["gate"] for gate in found["gates"]] == ["own_lines"]
    assert "FIRST Core aeration (front) only after: own lines flagged" in found["text"]
    assert '"own lines flagged"' in found["text"], "and how to note it"
    said("note", str(site), "own lines flagged", "--on", "2026-09-05")
    found = eve(site, FRIDAY + ONE)
    assert (found["call"], found["gates"]) == ("go", [])
    assert "FIRST" not in found["text"]


def test_without_a_plan_it_says_how_to_settle_one(site: Path) -> None:
    found = eve(site)
    assert (found["call"], found["next"]) == (None, None)
    assert "'advisor weekends" in found["text"]
    settle(site)
    found = eve(site, dt.date(2026, 9, 2))
    assert (found["call"], found["next"]) == (None, "2026-09-05")
    assert "the next day of work is Saturday 5 Sep" in found["text"]


def test_a_limit_that_leaves_no_room_is_named(site: Path) -> None:
    """The plan was settled before the keeper wrote that engines may not be heard that day."""
    settle(site)
    foresee(site, MILD, MILD, MILD)
    file = site / "site.yaml"
    told = file.read_text(encoding="utf-8")
    file.write_text(f"{told}\nlimits: {{engines: [saturday never]}}\n", encoding="utf-8")
    found = eve(site)
    assert found["call"] == "wait"
    assert {each["why"] for each in found["waits"]} == {"engines may not be heard that long"}


def test_a_job_over_two_days_has_its_own_steps_on_each(site: Path) -> None:
    text = (site / "site.yaml").read_text(encoding="utf-8")
    text = (
        text.replace("2200 ft2", "9000 ft2")
        .replace("3000 ft2", "700 ft2")
        .replace("hours_per_day: 6 h", "hours_per_day: 5 h")
    )
    text = text.replace("tools:", "tools:\n  - {kind: tiller, have: hired, price: 60}")
    (site / "site.yaml").write_text(text, encoding="utf-8")
    for note in ("good turf 10 % front", "lines marked", "own lines flagged"):
        said("note", str(site), note, "--on", "2026-09-02")
    plan = ("workplan", str(site), "--on", "2026-09-02", "--from", "2026-09-05", "--days", "3")
    sheet = said(*plan, "--only", "new_seeding", "--keep")
    assert "No room for a new lawn (back)" in sheet
    first, second = json.loads((site / "plan.json").read_text(encoding="utf-8"))["days"]
    assert not {*first["steps"]} & {*second["steps"]}
    for day, eve_of in ((first, FRIDAY), (second, FRIDAY + ONE)):
        found = eve(site, eve_of)
        assert found["call"] == "go"
        assert [found["from"], found["to"]] == [clock(day["start"]), clock(day["end"])]
    assert eve(site)["rest"] == [{"job": "new_seeding", "part": "front", "date": second["date"]}]
    assert "The rest of a new lawn (front): Sunday 6 Sep." in eve(site)["text"]
    assert eve(site, FRIDAY + ONE)["rest"] == []
    # The tiller is of the first day's steps alone.
    hired = [[each["machine"] for each in eve(site, on)["hired"]] for on in (FRIDAY, FRIDAY + ONE)]
    assert hired == [["rotary tiller"], []]


def test_a_hire_that_rain_leaves_idle_is_given_back_in_time(site: Path) -> None:
    settle(site)
    foresee(site, (24.0, 12.0, 11.0), MILD, MILD)
    asked = eve(site)
    assert asked["hired"] == [
        {"machine": "vertical mower or power rake", "price": 70.0, "cancel_by": None,
         "needed": False}
    ]  # fmt: skip
    assert "Ask the shop until when it gives the hire of the vertical mower" in asked["text"]
    text = (site / "site.yaml").read_text(encoding="utf-8")
    text = text.replace("width: 20 in}", "width: 20 in, cancel_by: 18:00}")
    (site / "site.yaml").write_text(text, encoding="utf-8")
    known = "The shop gives the hire of the vertical mower or power rake (70 USD) back until 18:00"
    assert known in eve(site)["text"]
    # It stands in Friday's line of a day that looks well, too: the keeper may think otherwise.
    foresee(site, MILD, MILD, MILD)
    found = eve(site)
    assert found["hired"][0]["needed"]
    assert known in found["text"]
