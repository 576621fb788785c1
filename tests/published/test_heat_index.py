"""Heat index against the U.S. National Weather Service and two libraries' figures."""

from __future__ import annotations

import numpy as np
import pytest
import thermofeel

from advisor.planning.work_days import HOT_C, WARM_C
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


# National Weather Service, classes of the heat index chart (as restated by public bodies, °F):
# caution from 80, extreme caution from 90, danger from 103, extreme danger from 125.
BANDS = ((80, "caution"), (90, "extreme caution"), (103, "danger"), (125, "extreme danger"))


@pytest.mark.parametrize(
    ("air_f", "humidity", "printed"),
    [
        (80, 40, "caution"),
        (84, 50, "caution"),
        (90, 50, "extreme caution"),
        (94, 45, "extreme caution"),
        (90, 70, "danger"),
        (96, 65, "danger"),
        (100, 55, "danger"),
        (100, 60, "extreme danger"),
        (110, 40, "extreme danger"),
    ],
)
def test_bands_of_the_chart(air_f: float, humidity: float, printed: str) -> None:
    """Cells of the chart with the shading they carry (from memory)."""
    index = round(in_fahrenheit(air_f, humidity))
    assert [name for least, name in BANDS if index >= least][-1] == printed


def test_the_planner_slows_down_where_the_first_two_bands_begin() -> None:
    for celsius, (fahrenheit, _) in zip((WARM_C, HOT_C), BANDS, strict=False):
        assert celsius * 1.8 + 32 == pytest.approx(fahrenheit, abs=0.1)
