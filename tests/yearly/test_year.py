"""The year's windows: what `ask` tells, in JSON of a fixed shape, honest about small records."""

from __future__ import annotations

import datetime as dt
import json
import re

import pytest

from advisor.advice.book import Advice
from advisor.render.yearly.pages import basis_note, year_text
from advisor.render.yearly.rows import rows_of
from advisor.render.yearly.year import WEEKS, compose_year
from advisor.render.yearly.year_json import year_json

WINDOW_KEYS = {
    "operation", "id", "title", "area", "grass", "season", "opens", "closes", "by_week", "by_day",
    "years", "without", "unknown", "rough",
}  # fmt: skip


@pytest.fixture(scope="module")
def data(champion_year):
    return json.loads(json.dumps(year_json(champion_year)))


def test_json_has_exactly_the_agreed_keys(data):
    assert set(data) == {
        "format", "rulebook", "site", "on", "from", "to", "basis", "years", "rough", "windows",
        "plan", "waits", "place", "growing_days", "weather", "law",
    }  # fmt: skip
    assert data["windows"]
    for window in data["windows"]:
        assert set(window) == WINDOW_KEYS
        assert set(window["opens"]) == {"p10", "p50", "p90"}
        assert window["opens"]["p10"] <= window["opens"]["p50"] <= window["opens"]["p90"]


def test_the_current_or_next_window_is_the_one_that_ask_tells(champion_year):
    part = champion_year.parts[0]
    seen = 0
    for id in part.decider.operations():
        current = part.decider.outlook(id).current
        if current is None or current.closes.p50 < champion_year.on:
            continue
        if current.window.undated:
            assert not [w for w in champion_year.windows if w.operation.id == id]
            continue
        same = [
            w
            for w in champion_year.windows
            if w.operation.id == id
            and w.found.track.window.id == current.window.id
            and w.found.track.season == current.season
        ]
        assert len(same) == 1
        assert same[0].found.opening == current
        seen += 1
    assert seen >= 5


def test_chances_of_weeks_and_days_fit_the_dates(data):
    """On its median first day a window is open in about half of the years, and never before."""
    for window in data["windows"]:
        if window["opens"] is None or window["without"]:
            continue
        steps = [(s["from"], s["chance"]) for s in window["by_day"]]
        assert steps == sorted(steps)
        on_median = [chance for day, chance in steps if day <= window["opens"]["p50"]][-1]
        assert on_median >= 0.3
        assert all(0 <= chance <= 1 for _, chance in steps)
        weeks = [(dt.date.fromisoformat(w["from"]), w["chance"]) for w in window["by_week"]]
        assert all(day.weekday() == 0 and 0 < chance <= 1 for day, chance in weeks)
        assert all(
            f"{day:%G-W%V}" == w["week"]
            for (day, _), w in zip(weeks, window["by_week"], strict=True)
        )


def test_both_autumns_that_twelve_months_touch_are_there(data):
    seasons = [w["season"] for w in data["windows"] if w["operation"] == "overseeding"]
    assert seasons == [2018, 2019]
    spring = [w["season"] for w in data["windows"] if w["operation"] == "spring_seeding"]
    assert spring == [2018]


def test_rows_hold_each_week_and_are_in_order(champion_year):
    rows = rows_of(champion_year)
    assert all(len(row.tenths) == WEEKS for row in rows)
    assert [row.routine for row in rows] == sorted(row.routine for row in rows)
    text = year_text(champion_year)
    assert all(len(line) <= 78 for line in text.splitlines())
    for jargon in ("p10", "p50", "ensemble", "basis", "gate", "quantile", "member"):
        assert jargon not in text.lower()


@pytest.mark.parametrize(("years", "rough"), [(6, True), (15, False)])
def test_few_years_are_called_rough(short_year, years, rough):
    year = short_year(years * 365)
    assert year.rough == rough
    assert bool(re.search(r"\brough\b", year_text(year), re.IGNORECASE)) == rough
    assert {w.rough for w in year.windows} == {rough}


def test_a_single_year_gives_one_rough_guess(short_year, champion_year):
    year = short_year(370)
    assert year.years == 0
    assert year.basis == "normals"
    assert "rough guess" in basis_note(year)
    text = year_text(year)
    assert "rough, from the monthly means of a short record" in text
    assert "8 years of 10" not in text
    guess = _overseeding(year, 2019)
    many = _overseeding(champion_year, 2019)
    assert guess.opens is not None
    assert guess.closes is not None
    assert guess.opens.p10 == guess.opens.p90
    # One year is rough, not absurd: within three weeks of what 37 years say.
    assert abs((guess.opens.p50 - many.opens.p50).days) <= 21
    assert abs((guess.closes.p50 - many.closes.p50).days) <= 21


def _overseeding(year, season):
    return next(
        w
        for w in year.windows
        if w.operation.id == "overseeding" and w.found.track.season == season
    )


def test_a_few_days_cannot_tell(short_year):
    year = short_year(200)
    assert rows_of(year) == ()
    assert "no dates yet" in year_text(year)
    by_weather = [w for w in year_json(year)["windows"] if w["id"] != "mild_winter"]
    assert len(by_weather) > 20
    for window in by_weather:
        assert window["opens"] is None
        assert window["by_week"] == []
        assert window["unknown"] == 1


def test_without_weather_the_year_says_so(short_year):
    year = short_year(0)
    assert year_json(year)["windows"] == []
    assert year_json(year)["basis"] == "none"
    assert "No weather yet" in year_text(year)


def test_the_same_question_has_the_same_answer(champion_year):
    again = compose_year(Advice(champion_year.case))
    assert year_json(again) == year_json(champion_year)
    assert year_text(again) == year_text(champion_year)
