"""The soil against other years."""

from __future__ import annotations

import numpy as np

from advisor.facts.axis import Axis
from advisor.facts.fact import Lawn
from advisor.facts.weather_facts import WeatherFacts
from advisor.render.digest.leads import soil_departure

DAYS = np.arange(np.datetime64("2024-01-01"), np.datetime64("2026-12-31"))
TODAY = 500


def weather(this_year, other_years):
    """Constant air of `this_year` up to today and of each other year after it, °C."""
    rows = np.array([np.where(np.arange(len(DAYS)) <= TODAY, this_year, o) for o in other_years])
    columns = {"air_max_c": rows + 5, "air_min_c": rows - 5, "rain_mm": rows * 0}
    years = tuple(range(2000, 2000 + len(other_years)))
    return WeatherFacts(Axis(DAYS, columns, TODAY, TODAY + 1, years, "record"), Lawn(41.0, 200.0))


def test_warmer_cooler_and_as_usual():
    """The model maps a constant air temperature with slope one: 15 against 10, 12 and 20 °C."""
    said = soil_departure(weather(15.0, [10.0, 12.0, 20.0]), "metric")
    assert said == "the soil is 3 °C warmer than the middle of 3 years"
    assert "cooler" in soil_departure(weather(5.0, [10.0, 12.0, 20.0]), "us")
    assert "as warm as" in soil_departure(weather(12.0, [10.0, 12.0, 20.0]), "us")


def test_nothing_is_said_without_other_years():
    assert soil_departure(None, "us") == ""
    assert soil_departure(weather(15.0, [10.0]), "us") == ""
