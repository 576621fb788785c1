"""How the soil temperature treats gaps, starts and members."""

from __future__ import annotations

import numpy as np

from advisor.signals.soil_temperature import SPIN_UP_DAYS, soil_temperature


def autumn(days: int = 200) -> tuple[np.ndarray, np.ndarray]:
    mean = 24.0 - 0.12 * np.arange(days) + np.random.default_rng(4).normal(0.0, 3.0, days)
    return mean + 6.0, mean - 6.0


def test_nothing_is_said_before_the_spin_up() -> None:
    high, low = autumn()
    known = ~np.isnan(soil_temperature(high, low))
    assert known.argmax() == SPIN_UP_DAYS - 1
    assert known[SPIN_UP_DAYS - 1 :].all()
    assert np.isnan(soil_temperature(high[:20], low[:20])).all()


def test_a_missing_day_costs_that_day_and_the_next_and_then_little() -> None:
    high, low = autumn()
    whole = soil_temperature(high, low)
    high[100] = np.nan
    holed = soil_temperature(high, low)
    assert np.flatnonzero(np.isnan(holed[50:])).tolist() == [50, 51]
    after = np.abs(holed - whole)[102:]
    assert after.max() < 1.0
    assert after[40:].max() < 0.02


def test_a_month_without_air_temperature_needs_days_to_recover() -> None:
    high, low = autumn()
    low[80:110] = np.nan
    holed = soil_temperature(high, low)
    assert np.isnan(holed[80:115]).all()
    assert not np.isnan(holed[140:]).any()


def test_a_warm_start_is_forgotten() -> None:
    """After the spin-up a different past matters little: under 0.7 °C for 10 °C of difference."""
    high, low = autumn()
    warm = np.concatenate([np.full(60, 30.0), high]), np.concatenate([np.full(60, 18.0), low])
    late = slice(SPIN_UP_DAYS, None)
    apart = np.abs(soil_temperature(high, low)[late] - soil_temperature(*warm)[60:][late])
    assert apart.max() < 0.7


def test_members_are_independent_and_deeper_is_slower() -> None:
    high, low = autumn()
    both = soil_temperature(np.stack([high, high + 2.0]), np.stack([low, low + 2.0]))
    np.testing.assert_allclose(both[0], soil_temperature(high, low))
    np.testing.assert_allclose(both[1] - both[0], np.where(np.isnan(both[0]), np.nan, 2.0))
    shallow, deep = soil_temperature(high, low, 5)[60:], soil_temperature(high, low, 10)[60:]
    assert np.abs(np.diff(shallow)).mean() > np.abs(np.diff(deep)).mean()
