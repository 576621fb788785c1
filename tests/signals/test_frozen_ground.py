"""Frozen ground and lying snow."""

from __future__ import annotations

import numpy as np

from advisor.signals.freeze import (
    DEEPEST_SNOW_MM,
    MELT_MM_PER_C_DAY,
    frozen_ground,
    snow_water,
)


def test_frozen_is_at_or_below_zero() -> None:
    found = frozen_ground([[-0.1, 0.0], [0.1, np.nan]])
    assert found[0].tolist() == [1.0, 1.0]
    assert found[1, 0] == 0.0
    assert np.isnan(found[1, 1])


def test_snow_falls_cold_and_melts_by_degree_days() -> None:
    """Degree-day arithmetic: 20 mm fallen, 2 °C melts twice the factor a day."""
    air = np.array([-5.0, 0.5, 2.0, 2.0, 10.0])
    fall = np.array([15.0, 5.0, 8.0, 0.0, 0.0])
    two = 2.0 * MELT_MM_PER_C_DAY
    wanted = [15.0, 20.0 - 0.5 * MELT_MM_PER_C_DAY]
    wanted += [wanted[1] - two, wanted[1] - 2.0 * two, 0.0]
    np.testing.assert_allclose(snow_water(air, fall), wanted)


def test_an_unknown_day_is_unknown_until_all_would_have_melted() -> None:
    days = 60
    air = np.full((2, days), 5.0)
    air[0, 10] = np.nan
    found = snow_water(air, np.zeros(days))
    needed = int(np.ceil(DEEPEST_SNOW_MM / (5.0 * MELT_MM_PER_C_DAY)))
    assert np.isnan(found[0, 10 : 10 + needed]).all()
    assert (found[0, 10 + needed + 1 :] == 0.0).all()
    assert (found[1] == 0.0).all()


def test_unknown_rain_matters_only_in_the_cold() -> None:
    fall = np.array([np.nan, 0.0, 0.0])
    assert snow_water(np.full(3, 8.0), fall).tolist() == [0.0, 0.0, 0.0]
    assert np.isnan(snow_water(np.full(3, -8.0), fall)).all()
