"""The chance that a window is open, against what came in years that were left out.

Outside measure: the place's own weather of each past year (tests/data/weather), and climatology,
the share of the other years in which the window was open on that calendar day. Score and skill:
Brier 1950, Monthly Weather Review 78:1-3.

This is a reduced run: two places, every third year, every second week. The whole one, with its
bootstrap intervals over years and the reliability of each tenth, is docs/validation/chances.md: all
of the interval lies above 0 at 0, 14 and 28 days. At 56 days the skill is 0.008 and its interval
touches 0, so that a part of the years proves nothing: here it is only held to doing no harm.
"""

from __future__ import annotations

import datetime as dt
import importlib.util
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pytest

from advisor.facts.axis import build_axis
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

FOLDER = Path(__file__).parents[2] / "docs" / "validation"
REDUCED = ("champion_ne", "norfolk_uk")
EVERY_YEAR, STEP = 3, 14


def _load(name: str) -> ModuleType:
    spec = importlib.util.spec_from_file_location(name, FOLDER / f"{name}.py")
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module  # the scripts import one another by name
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def chances() -> ModuleType:
    _load("published_pairs")
    return _load("chances")


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="module")
def cases(chances: ModuleType, book: RuleBook) -> Any:
    asked = chances.questions(book)
    found = [chances.predict(book, asked, p, step=STEP, every=EVERY_YEAR) for p in REDUCED]
    return np.concatenate(found)


@pytest.mark.parametrize("lead", [0, 14, 28])
def test_the_chances_beat_climatology(chances: ModuleType, cases: Any, lead: int) -> None:
    found = chances.skill(cases[cases["lead"] == lead])
    assert found.cases > 300
    assert found.skill > 0
    # From two weeks on, so few years are no proof by themselves: their interval may reach 0.
    if lead == 0:
        assert found.low > 0


def test_eight_weeks_ahead_they_do_no_harm(chances: ModuleType, cases: Any) -> None:
    found = chances.skill(cases[cases["lead"] == 56])
    assert found.high > 0
    assert found.skill > -0.05


def test_the_skill_falls_with_the_days_ahead(chances: ModuleType, cases: Any) -> None:
    skills = [chances.skill(cases[cases["lead"] == lead]).skill for lead in chances.LEADS]
    assert skills == sorted(skills, reverse=True)


def test_a_chance_is_what_came_within_its_error(chances: ModuleType, cases: Any) -> None:
    """Thirds of the scale, all leads: 0.1 is about two standard errors of 17 years in each."""
    for low, high in ((0, 1 / 3), (1 / 3, 2 / 3), (2 / 3, 1.01)):
        part = cases[(cases["chance"] >= low) & (cases["chance"] < high)]
        assert abs(part["chance"].mean() - part["came"].mean()) < 0.1


def test_shuffled_years_have_no_skill(chances: ModuleType, cases: Any) -> None:
    """The score can fail: what came in another year is not predicted."""
    part = cases[cases["lead"] == 0].copy()
    order = np.argsort(part, order=["place", "question", "day", "year"])
    part = part[order]
    part["came"] = np.roll(part["came"], 1)
    assert chances.skill(part).skill < 0.1


def test_no_day_of_the_year_judged_is_borrowed(chances: ModuleType) -> None:
    """Changing what the left-out year held after the day stood on changes no prediction."""
    table, lawn = chances.read_place("champion_ne")
    on, year = dt.date(2000, 8, 20), 2000
    axis = build_axis(table, None, on, lawn.latitude, exclude_year=year, later_years_too=True)
    assert axis is not None
    assert year not in axis.years
    coming = slice(axis.today + 1, axis.today + 200)
    at = table.index(on)
    assert at is not None
    own = table.column("air_max_c")[at + 1 : at + 200]
    assert not (axis.columns["air_max_c"][:, coming] == own).all(axis=1).any()


def test_truth_on_the_whole_record_is_that_of_a_past_year(
    chances: ModuleType, book: RuleBook
) -> None:
    """A window read off the whole record at once, and off an axis that ends the year after."""
    asked = chances.questions(book)
    table, lawn = chances.read_place("norfolk_uk")
    years, came = chances.truths(book, asked, table, lawn)
    for year in (1994, 2003, 2012):
        on = dt.date(year + 1, 12, 20)
        axis = build_axis(table, None, on, lawn.latitude, later_years_too=True)
        assert axis is not None
        facts = WeatherFacts(axis, lawn)
        for q, question in enumerate(asked):
            traits = book.grasses[question.grass].traits
            track = next(
                t for t in chances.tracks(question.window, facts, traits) if t.season == year
            )
            start = next(s.midsummer for s in facts.seasons if s.year == year)
            days = chances.chance_of_days(track.found, axis.shape[1])[start : start + 366]
            assert np.array_equal(days, came[q, years.index(year)]), (question.name, year)
