"""Water and disease facts on an axis: what they are made of, and when they are unknown."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from advisor.facts.axis import Axis
from advisor.facts.fact import Lawn
from advisor.facts.weather_facts import WeatherFacts
from advisor.signals.water_balance import total_available_water

DAYS = np.arange(np.datetime64("2025-06-01"), np.datetime64("2025-12-31"))
TODAY = 100
ROOTS_MM = 203.2


def facts(lawn: Lawn | None = None, **columns: np.ndarray) -> WeatherFacts:
    flat = {"air_max_c": 25.0, "air_min_c": 15.0, "rain_mm": 0.0}
    rows = {name: np.full((1, len(DAYS)), value) for name, value in flat.items()}
    axis = Axis(DAYS, {**rows, **columns}, TODAY, TODAY + 1, (), "observed")
    return WeatherFacts(axis, lawn or Lawn(41.0, 200.0))


def days(value: float) -> np.ndarray:
    return np.full((1, len(DAYS)), value)


def today(found: WeatherFacts, name: str) -> float:
    return float(found.series(name)[0, TODAY])


def test_without_humidity_the_disease_models_are_unknown() -> None:
    assert np.isnan(today(facts(), "dollar_spot_risk"))
    assert np.isnan(today(facts(), "brown_patch_index"))


def test_mean_humidity_or_else_the_middle_of_its_extremes() -> None:
    # 20 °C and 80 % for five days: 40.4 % by hand (tests/published/test_disease.py).
    assert today(facts(humidity_pct=days(80.0)), "dollar_spot_risk") == pytest.approx(
        0.404, abs=1e-3
    )
    extremes = facts(humidity_max_pct=days(95.0), humidity_min_pct=days(65.0))
    assert today(extremes, "dollar_spot_risk") == pytest.approx(0.404, abs=1e-3)
    half = facts(humidity_max_pct=days(95.0))
    assert np.isnan(today(half, "dollar_spot_risk"))


def test_the_worst_night_of_three_counts_for_brown_patch() -> None:
    lows = days(10.0)
    lows[0, TODAY - 2] = 20.0
    found = facts(air_min_c=lows, humidity_pct=days(90.0)).series("brown_patch_index")[0]
    # -21.5 + 0.15 * 90 + 1.4 * 20 - 0.033 * 400 = 6.8, and 2.7 at 10 °C.
    np.testing.assert_allclose(found[TODAY - 3 : TODAY + 2], [2.7, 6.8, 6.8, 6.8, 2.7])


def test_rain_and_recorded_watering_end_a_dry_spell() -> None:
    rain = days(0.0)
    rain[0, TODAY - 30] = 20.0
    assert today(facts(rain_mm=rain), "dry_spell") == 30.0
    watered = {dt.date(2025, 6, 1) + dt.timedelta(days=TODAY - 9): 15.0}
    lawn = Lawn(41.0, 200.0, irrigation_mm=watered)
    assert today(facts(lawn, rain_mm=rain), "dry_spell") == 9.0
    sips = dict.fromkeys(watered, 5.0)
    assert today(facts(Lawn(41.0, 200.0, irrigation_mm=sips), rain_mm=rain), "dry_spell") == 30.0


def test_longest_run_of_rainy_days() -> None:
    rain = days(0.0)
    rain[0, TODAY - 5 : TODAY - 2] = 4.0
    assert today(facts(rain_mm=rain), "wet_run") == 3.0


def test_the_deficit_is_what_the_share_leaves_open() -> None:
    rain = days(0.0)
    rain[0, TODAY - 6] = 200.0
    lawn = Lawn(41.0, 200.0, texture="silt_loam", root_depth_mm=ROOTS_MM)
    found = facts(lawn, rain_mm=rain)
    whole = total_available_water("silt_loam", ROOTS_MM)[1]
    share, deficit = today(found, "soil_moisture_share"), today(found, "water_deficit")
    assert 0.1 < share < 0.9
    assert deficit == pytest.approx((1.0 - share) * whole)


def test_an_irrigated_lawn_without_records_is_unknown_not_dry() -> None:
    known = {"texture": "silt_loam", "root_depth_mm": ROOTS_MM}
    unrecorded = Lawn(41.0, 200.0, watering_unknown=True, **known)
    assert np.isnan(today(facts(unrecorded), "soil_moisture_share"))
    assert np.isnan(today(facts(unrecorded), "water_deficit"))
    # The same dry weeks on a lawn that nobody waters empty its root zone.
    assert today(facts(Lawn(41.0, 200.0, **known)), "soil_moisture_share") < 0.2
