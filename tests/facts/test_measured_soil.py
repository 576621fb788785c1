"""Measured soil temperatures stand above modelled ones."""

import datetime as dt

import numpy as np

from advisor.facts.axis import Axis
from advisor.facts.fact import Lawn
from advisor.facts.weather_facts import WeatherFacts

DAYS = np.arange(np.datetime64("2025-06-01"), np.datetime64("2025-12-31"))


def facts(**columns):
    flat = {"air_max_c": 20.0, "air_min_c": 10.0, "rain_mm": 0.0}
    rows = {name: np.full((1, len(DAYS)), value) for name, value in flat.items()}
    return WeatherFacts(
        Axis(DAYS, {**rows, **columns}, 100, 101, (), "observed"), Lawn(41.0, 200.0)
    )


def test_a_measured_day_replaces_the_model_and_only_that_day():
    measured = np.full((1, len(DAYS)), np.nan)
    measured[0, 100] = 3.0
    modelled, mixed = facts().soil_c, facts(soil_10cm_c=measured).soil_c
    assert mixed[0, 100] == 3.0
    others = np.arange(len(DAYS)) != 100
    np.testing.assert_array_equal(mixed[0, others], modelled[0, others])


def test_the_five_centimetre_sensor_does_not_stand_in_for_ten():
    deep = facts(soil_5cm_c=np.full((1, len(DAYS)), -9.0))
    np.testing.assert_array_equal(deep.soil_c, facts().soil_c)
    assert deep.axis.date(0) == dt.date(2025, 6, 1)
