"""Degree days against published worked examples and a numerical integral."""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path

import numpy as np
import pytest

from advisor.signals.growth import (
    cumulative,
    mean_degree_days,
    modified_degree_days,
    room_left,
    sine_degree_days,
)
from advisor.signals.running import FloatArray, trailing_mean
from advisor.signals.soil_temperature import soil_temperature

WEATHER = Path(__file__).parents[1] / "data" / "weather"


def test_worked_example_of_a_state_extension_service() -> None:
    """Virginia Cooperative Extension (Goatley et al. 2007): 75 / 27 °F, base 50 °F, gives 1."""
    assert mean_degree_days(75.0, 27.0, 50.0) == 1.0
    assert mean_degree_days(60.0, 30.0, 50.0) == 0.0  # the same sheet: negative counts as 0


def test_modified_method_of_maize() -> None:
    """The 86/50 rule: 95 / 45 °F counts as (86 + 50) / 2 - 50 = 18 (arithmetic of the rule)."""
    assert modified_degree_days(95.0, 45.0, 50.0, 86.0) == 18.0
    assert modified_degree_days(48.0, 30.0, 50.0, 86.0) == 0.0
    with pytest.raises(ValueError, match="must lie above base"):
        modified_degree_days(20.0, 10.0, 10.0, 10.0)


@pytest.mark.parametrize("base", [-5.0, 4.0, 9.9, 15.0, 21.0, 30.0])
def test_sine_is_the_area_under_the_sine(base: float) -> None:
    """Baskerville & Emin 1969, by a Riemann sum of 100,000 steps over one day."""
    wave = 15.0 + 8.0 * np.sin(2.0 * np.pi * (np.arange(100_000) + 0.5) / 100_000)
    area = float(np.maximum(wave - base, 0.0).mean())
    assert sine_degree_days(23.0, 7.0, base) == pytest.approx(area, abs=1e-6)


def test_the_methods_part_only_when_the_base_lies_in_the_days_range() -> None:
    """Warm days agree; a day around the base counts for the sine only (Baskerville & Emin 1969)."""
    assert sine_degree_days(25.0, 15.0, 10.0) == mean_degree_days(25.0, 15.0, 10.0) == 10.0
    assert mean_degree_days(14.0, 2.0, 10.0) == 0.0
    assert sine_degree_days(14.0, 2.0, 10.0) > 0.5
    assert sine_degree_days(10.0, 10.0, 10.0) == 0.0
    assert np.isnan(sine_degree_days(2.0, 14.0, 10.0))


def iowa_springs() -> tuple[FloatArray, FloatArray]:
    """Modelled soil at 5 cm from 1 April to 30 September, (31 years, 183), and degree days."""
    with gzip.open(WEATHER / "central_iowa.csv.gz", "rt", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    high, low = (np.array([float(r[k]) for r in rows]) for k in ("air_max_c", "air_min_c"))
    soil = soil_temperature(high, low, 5)
    week = trailing_mean(soil, 7)
    first = dt.date.fromisoformat(rows[0]["date"]).toordinal()
    starts = [dt.date(y, 4, 1).toordinal() - first for y in range(1990, 2021)]
    season = np.stack([soil[s : s + 183] for s in starts])
    return np.stack([week[s : s + 183] for s in starts]), np.maximum(season - 12.0, 0.0)


def test_crabgrass_totals_meet_the_temperatures_published_with_them() -> None:
    """Fidanza, Dernoeden & Zhang 1996, Crop Sci. 36:990-996: base 12 °C, counted from 1 April,
    first emergence at 42-78 °C·d with 13.9-17.5 °C in the week before; the flush ends at 230.

    Two numbers of one paper (Maryland, 2.5 cm) must be compatible in our modelled soil of another
    place: half-way through the band the week before lies within 1.5 °C (the model's band) of its
    ends, in at least three years of four.
    """
    week, heat = iowa_springs()
    total = cumulative(heat)
    at = (total >= 60.0).argmax(axis=-1)
    before = week[np.arange(len(at)), at]
    fits = (before > 13.9 - 1.5) & (before < 17.5 + 1.5)
    assert fits.mean() >= 0.75
    emerged, flush = (total >= 42.0).argmax(axis=-1), (total >= 230.0).argmax(axis=-1)
    assert (flush > emerged + 14).all()


def test_cumulative_and_room_left_are_two_views_of_one_sum() -> None:
    """Algebra: before a day plus from that day on is the whole."""
    heat = np.random.default_rng(3).uniform(0.0, 9.0, (4, 50))
    rest, so_far = room_left(heat, 40), cumulative(heat)
    whole = heat[:, :40].sum(axis=-1, keepdims=True)
    np.testing.assert_allclose(
        rest[:, :40] + so_far[:, :40] - heat[:, :40], whole + 0 * rest[:, :40]
    )
    assert (rest[:, 40:] == 0.0).all()
    assert cumulative(heat, 10)[:, :10].tolist() == np.zeros((4, 10)).tolist()


def test_a_hole_is_not_a_zero() -> None:
    heat = np.array([1.0, np.nan, 2.0, 3.0])
    assert np.isnan(cumulative(heat)).tolist() == [False, True, True, True]
    assert np.isnan(room_left(heat, 4)).tolist() == [True, True, False, False]
    with pytest.raises(ValueError, match="outside"):
        room_left(heat, 5)
    with pytest.raises(ValueError, match="outside"):
        cumulative(heat, -1)
