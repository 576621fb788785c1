"""Degree days over 50 °F since 15 February, against Virginia Tech's worked day and sums by hand."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.facts.axis import SeasonDays, days_lengthen
from advisor.facts.temperature_facts import spring_warmth

# A year of 364 days from midsummer on.
YEAR = SeasonDays(2025, 0, 91, 182, 273, 364)


def test_a_day_of_75_and_27_gives_one() -> None:
    # Goatley and others 2007: 75 °F and 27 °F give 1 degree day (F) over 50 °F.
    high, low = np.full((1, 364), (75 - 32) / 1.8), np.full((1, 364), (27 - 32) / 1.8)
    found = spring_warmth(high, low, [YEAR])
    # 56 days after 21 December is 15 February, from which Michigan State University counts.
    assert found[0, 237] == 0
    assert found[0, 238] * 1.8 == pytest.approx(1.0)
    assert found[0, 247] * 1.8 == pytest.approx(10.0)


def test_cold_days_take_nothing_away() -> None:
    high = np.full((1, 364), 0.0)
    high[0, 250] = 40.0
    found = spring_warmth(high, np.zeros_like(high), [YEAR])
    assert found[0, 249] == 0
    assert found[0, 250] == found[0, 363] == 10


def test_an_axis_that_begins_in_spring_cannot_tell() -> None:
    late = SeasonDays(2025, -250, -160, -68, 23, 114)
    high = np.full((1, 300), 20.0)
    found = spring_warmth(high, high, [late])
    assert np.isnan(found).all()


def test_days_lengthen_from_midwinter_to_midsummer() -> None:
    found = days_lengthen([YEAR], (1, 400))
    assert not found[0, :182].any()
    assert found[0, 182:364].all()
    assert np.isnan(found[0, 364:]).all()
