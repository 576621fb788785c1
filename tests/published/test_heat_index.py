"""Heat index against the U.S. National Weather Service and two libraries' figures."""

from __future__ import annotations

import numpy as np
import pytest
import thermofeel

from advisor.signals.heat_index import heat_index


def in_fahrenheit(air_f: float, humidity: float) -> float:
    return float(heat_index((air_f - 32.0) / 1.8, humidity)) * 1.8 + 32.0


def test_the_charts_own_example() -> None:
    """NWS heat index page: 96 °F at 65 % feels like 121 °F."""
    assert round(in_fahrenheit(96.0, 65.0)) == 121


@pytest.mark.parametrize(
    ("air_f", "humidity", "printed"),
    [(90, 50, 95), (90, 70, 106), (90, 85, 117), (100, 40, 109), (100, 55, 124), (110, 40, 136)],
)
def test_cells_of_the_chart(air_f: float, humidity: float, printed: int) -> None:
    """NWS heat index chart, whole °F (cells from memory, all confirmed by metpy 1.7 to 0.5 °F)."""
    assert abs(in_fahrenheit(air_f, humidity) - printed) <= 0.6


@pytest.mark.parametrize(
    ("air_f", "humidity", "theirs"),
    [
        (86, 90, 105.39),
        (90, 45, 92.49),
        (90, 50, 94.60),
        (90, 70, 105.92),
        (90, 85, 117.47),
        (95, 50, 105.22),
        (96, 65, 121.03),
        (100, 40, 109.26),
        (100, 55, 123.64),
        (104, 30, 109.64),
        (110, 40, 135.66),
        (95, 10, 89.45),
    ],
)
def test_figures_of_metpy(air_f: float, humidity: float, theirs: float) -> None:
    """metpy 1.7.1 `heat_index`, run once; both adjustments are among the points."""
    assert in_fahrenheit(air_f, humidity) == pytest.approx(theirs, abs=0.01)


def test_agrees_with_thermofeel_where_the_full_equation_holds() -> None:
    """thermofeel 2 (ECMWF, Apache-2.0), which takes the dew point; below 80 °F it differs by rule.

    Humidity is formed from its dew point by its own function, so that only the index is compared.
    """
    air_c, dew_c = np.meshgrid(np.arange(29.0, 44.0, 1.0), np.arange(2.0, 28.5, 1.5))
    air_k, dew_k = air_c.ravel() + 273.15, dew_c.ravel() + 273.15
    humidity = thermofeel.calculate_relative_humidity_percent(air_k, dew_k)
    theirs = thermofeel.calculate_heat_index_adjusted(air_k, dew_k) - 273.15
    ours = heat_index(air_k - 273.15, humidity)
    full = ours > 28.0  # clear of 80 °F, where the choice of equation flips
    assert full.sum() > 200
    np.testing.assert_allclose(ours[full], theirs[full], atol=0.17)  # 0.3 °F


def test_cool_air_uses_the_simple_formula() -> None:
    """NWS: the mean of the air temperature and 0.5 (T + 61 + 1.2 (T - 68) + 0.094 RH)."""
    assert in_fahrenheit(70.0, 50.0) == pytest.approx((70.0 + 0.5 * (131.0 + 2.4 + 4.7)) / 2.0)


def test_shapes_and_unknowns() -> None:
    found = heat_index([[30.0, np.nan], [35.0, 40.0]], [50.0, 50.0])
    assert found.shape == (2, 2)
    assert np.isnan(found).tolist() == [[False, True], [False, False]]
