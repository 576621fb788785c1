"""Spreader calibration against printed examples.

- Ohio State University Extension, Bulletin 817, section on granular spreaders: with 4 in in the
  middle bottles and 2 in at 6 ft on both sides, passes go 12 ft apart.
- University of Massachusetts Extension, Rotary Spreader Calibration Procedures: 20-5-10 at 1 lb of
  nitrogen is 5.00 lb of material, set between 4.75 and 5.25 lb; at half rate 2.5 lb.
"""

from __future__ import annotations

import json

import numpy as np
import pytest

from advisor.base.problems import BadInput
from advisor.planning.spreader import (
    half_rate_swath,
    overlapped,
    trial,
    variation,
    widest_even_swath,
)
from advisor.render.sheets.spreader_text import pans_json, pans_text, trial_json, trial_text

FOOT = 0.3048
LB_1000FT2 = 453.59237 / (1000 * FOOT**2)
SIDE = [4, 4, 4, 3.5, 3, 2.5, 2, 1.5, 1, 0]
OHIO = [*SIDE[:0:-1], *SIDE]


def test_half_rate_rule_as_printed() -> None:
    assert half_rate_swath(OHIO, FOOT) == pytest.approx(12 * FOOT)


def test_a_skewed_pattern_counts_both_sides() -> None:
    skewed = [0, 0, 0, 0, 0, 0, 0, 0, 2, 4, 4, 4, 4, 4, 4, 2, 0, 0, 0]
    assert half_rate_swath(skewed, 1.0) == pytest.approx(7, abs=0.6)


@pytest.mark.parametrize(
    ("catches", "says"),
    [([1, 2, 3, 2], "odd number"), ([1, 2, 1], "odd number"), ([1, 1, -1, 1, 1], "0 or more"),
     ([4, 0, 0, 0, 4], "middle pans are empty"), ([4, 4, 4, 4, 4], "lay the row out wider")],
)  # fmt: skip
def test_catches_that_say_nothing(catches: list[float], says: str) -> None:
    with pytest.raises(ValueError, match=says):
        half_rate_swath(catches, 1.0)


def test_a_triangle_overlaps_to_an_even_cover() -> None:
    """Passes half a base apart: each spot gets h (1 - x) of one pass and h x of the next."""
    triangle = [0, 1, 2, 3, 4, 3, 2, 1, 0]
    assert np.allclose(overlapped(triangle, 4), 4)
    assert variation(overlapped(triangle, 4)) == pytest.approx(0)
    assert variation(overlapped(triangle, 8)) > 0.4


def test_all_that_is_thrown_lies_on_the_ground() -> None:
    rng = np.random.default_rng(3)
    for _ in range(50):
        pans = rng.uniform(0, 5, 2 * rng.integers(2, 9) + 1)
        apart = int(rng.integers(1, 12))
        # Two passes throw twice the pattern onto two swaths.
        assert overlapped(list(pans), apart).sum() == pytest.approx(2 * pans.sum())


def test_widest_even_swath() -> None:
    found = widest_even_swath([0, 1, 2, 3, 4, 3, 2, 1, 0], 0.5)
    assert found is not None
    assert 4 * 0.5 <= found.width_m <= 6 * 0.5
    assert found.variation <= 0.20
    assert widest_even_swath([9, 0, 0, 0, 0, 0, 0, 0, 9], 1.0, limit=0.01) is not None


def test_variation_of_known_numbers() -> None:
    assert variation(np.array([2.0, 4.0, 4.0, 4.0, 5.0, 5.0, 7.0, 9.0])) == pytest.approx(2 / 5)


def test_rate_as_printed() -> None:
    nitrogen, analysis = 1.0, 0.20
    material = nitrogen / analysis
    assert material == pytest.approx(5.00)
    area = 1000 * FOOT**2
    length, swath = area / (12 * FOOT), 12 * FOOT
    for pounds, is_set in ((4.76, True), (5.24, True), (4.74, False), (5.26, False)):
        found = trial(pounds * 453.59237, length, swath, material * LB_1000FT2, passes=1)
        assert found.is_set is is_set
    half = trial(2.5 * 453.59237, length, swath, material * LB_1000FT2, passes=2)
    assert half.is_set
    assert half.factor == pytest.approx(1.0)


def test_trial_refuses_nothing() -> None:
    with pytest.raises(ValueError, match="over 0"):
        trial(0, 10, 3, 20, 1)


def test_commands_in_the_units_of_the_keeper() -> None:
    assert "Walk 12 ft apart" in pans_text(OHIO, "1 ft")
    assert "Walk 3.7 m apart" in pans_text(OHIO, "0.3048 m")
    assert "More falls to the left" in pans_text([1, 6, 8, 8, 6, 3, 1, 0, 0], "1 ft")
    said = trial_text("2 lb", "83 ft", "12 ft", "5 lb/1000ft2", 2)
    assert "1.25 times" in said
    assert "paving and water" in said
    assert json.loads(pans_json(OHIO, "1 ft"))["half_rate_swath_m"] == pytest.approx(3.658)
    assert not json.loads(trial_json("2 lb", "83 ft", "12 ft", "5 lb/1000ft2", 2))["set"]
    with pytest.raises(BadInput, match="--spent"):
        trial_text("2 ft", "83 ft", "12 ft", "5 lb/1000ft2", 2)
