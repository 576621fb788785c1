"""Growth potential and germination against published optima, thresholds and ranges."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.signals.growth import (
    GERMINATION,
    GROWTH_CURVES,
    ThermalTime,
    days_to_germinate,
    growth_potential,
)


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def test_published_optima() -> None:
    """Gelernter & Stowell: best growth at 68 °F (cool season) and 88 °F (warm season)."""
    assert growth_potential(celsius(68.0), "cool") == pytest.approx(1.0, abs=0.001)
    assert growth_potential(celsius(88.0), "warm") == pytest.approx(1.0, abs=0.001)


@pytest.mark.parametrize("fahrenheit", [60.0, 75.0])
def test_good_growth_of_cool_season_grass(fahrenheit: float) -> None:
    """The same: growth is good from 60 to 75 °F; USGA 2019 calls over 50 % the growing season."""
    assert growth_potential(celsius(fahrenheit), "cool") > 0.5


def test_good_growth_of_warm_season_grass() -> None:
    """80 to 95 °F is good; without the later plateau the curve falls past its optimum."""
    assert growth_potential(celsius(80.0), "warm") > 0.5
    assert growth_potential(celsius(95.0), "warm") == 1.0
    assert 0.5 < growth_potential(celsius(95.0), "warm", warm_plateau=False) < 1.0


def test_our_optimum_lies_in_the_measured_range() -> None:
    """Flournoy 2017 (Mississippi State University): cool 18.8-20.6 °C by clipping yield; the warm
    curve's optimum lies a degree under her 31.8-36.1 °C, where the plateau makes no difference."""
    assert 18.8 <= GROWTH_CURVES["cool"].optimum_c <= 20.6
    assert growth_potential([31.8, 36.1], "warm").tolist() == [1.0, 1.0]


@pytest.mark.parametrize(("fahrenheit", "season"), [(58.0, "cool"), (78.0, "cool"), (76.0, "warm")])
def test_one_spread_from_the_optimum(fahrenheit: float, season: str) -> None:
    """Gelernter & Stowell's curve is a normal one: exp(-1/2) = 0.607 at 10 (warm: 12) °F away,
    as near as its rounding to whole °C lets it."""
    assert growth_potential(celsius(fahrenheit), season) == pytest.approx(0.607, abs=0.04)


def test_winter_and_unknown() -> None:
    found = growth_potential([[-5.0, np.nan], [20.0, 35.0]], "cool")
    assert found[0, 0] < 0.001
    assert np.isnan(found[0, 1])
    assert found[1, 1] < 0.03


@pytest.mark.parametrize(
    ("grass", "soil_c", "printed"),
    [
        # Larsen & Bibby 2005, Crop Sci. 45:2030-2037: 115.6 / (15 - 2.6) = 9.3, so the tenth day.
        ("kentucky_bluegrass", 15.0, 10.0),
        ("perennial_ryegrass", 15.0, 6.0),
        ("slender_creeping_red_fescue", 15.0, 4.0),
    ],
)
def test_constant_warmth(grass: str, soil_c: float, printed: float) -> None:
    days = days_to_germinate(np.full(60, soil_c), GERMINATION[grass])
    assert days[0] == printed
    assert np.isinf(days[-1])


def test_ryegrass_within_the_range_on_the_bag() -> None:
    """University of California values: perennial ryegrass 5 to 10 days, in soil of 10-18 °C."""
    for soil_c in (10.5, 14.0, 16.3):
        days = days_to_germinate(np.full(40, soil_c), GERMINATION["perennial_ryegrass"])
        assert 5.0 <= days[0] <= 10.0


def test_cold_soil_waits_and_unknown_days_count_as_unknown() -> None:
    grass = GERMINATION["perennial_ryegrass"]  # base 3.6 °C, 63.9 °C·d
    soil = np.concatenate([np.full(100, 2.0), np.full(20, 13.6)])
    assert days_to_germinate(soil, grass)[0] == 100.0 + 7.0
    soil[3] = np.nan
    found = days_to_germinate(np.stack([soil, soil]), grass)
    assert found.shape == (2, 120)
    assert np.isnan(found[:, :4]).all()
    assert found[0, 4] == 96.0 + 7.0
    assert np.isnan(days_to_germinate(np.array([np.nan, 13.6]), grass)[0])


def test_a_sum_that_just_reaches_the_target_counts() -> None:
    """Eight times 0.1 is 0.8, though not in binary."""
    assert days_to_germinate(np.full(9, 0.1), ThermalTime(0.0, 0.8))[0] == 8.0
