"""Day length against FAO-56's example and the astral library's sunrise and sunset."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from astral import Observer
from astral.sun import sunrise, sunset

from advisor.signals.sun import daylight_hours, sunrise_to_sunset_hours


def almanac_hours(latitude: float, day: int, year: int = 2026) -> float:
    """Sunrise to sunset by astral 3.2 (Apache-2.0) at longitude 0."""
    date = dt.date(year, 1, 1) + dt.timedelta(days=day - 1)
    here = Observer(latitude, 0.0)
    return (sunset(here, date) - sunrise(here, date)).total_seconds() / 3600.0


def test_fao_56_example_9() -> None:
    """FAO-56 (Allen et al. 1998), example 9: 20° S, 3 September, N = 11.7 h."""
    assert daylight_hours(-20.0, 246) == pytest.approx(11.7, abs=0.05)


@pytest.mark.parametrize("year", [2024, 2025, 2027])
@pytest.mark.parametrize("latitude", [-43.5, 0.0, 30.0, 40.0, 48.0])
def test_sunrise_to_sunset_is_the_almanacs_within_three_minutes(latitude: float, year: int) -> None:
    days = np.arange(1, 366, 5)
    theirs = np.array([almanac_hours(latitude, int(d), year) for d in days])
    ours = sunrise_to_sunset_hours(latitude, days)
    assert np.abs(ours - theirs).max() * 60.0 < 3.0


@pytest.mark.parametrize("latitude", [30.0, 40.0, 48.0])
def test_fao_daylight_is_shorter_than_what_one_sees(latitude: float) -> None:
    """No refraction and no disk: 7 to 22 minutes less than astral, all year."""
    days = np.arange(1, 366, 3)
    theirs = np.array([almanac_hours(latitude, int(d)) for d in days])
    shorter = (theirs - daylight_hours(latitude, days)) * 60.0
    assert shorter.min() > 7.0
    assert shorter.max() < 22.0


def test_polar_day_and_night() -> None:
    """At 75° the sun neither sets on 21 June nor rises on 21 December (any almanac)."""
    assert daylight_hours(75.0, [172, 355]).tolist() == [24.0, 0.0]
    assert sunrise_to_sunset_hours(75.0, [172, 355]).tolist() == [24.0, 0.0]


def test_the_south_mirrors_the_north_by_half_a_year() -> None:
    """The equation of FAO-56 is symmetric: north on one day, south with the sign turned."""
    days = np.arange(1, 366)
    total = daylight_hours(44.0, days) + daylight_hours(-44.0, days)
    np.testing.assert_allclose(total, 24.0, atol=1e-9)
