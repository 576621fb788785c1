"""Rate, evenness and run time, beside what others print."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.planning.irrigation_audit import (
    audit,
    depth_from_volume,
    multiplier,
    rate_from_flow,
    run_minutes,
)

IN, GAL, FT2 = 25.4, 3.785411784, 0.09290304


# Klickitat PUD (Washington), Determine Your Sprinkler System's Precipitation Rate: 10 gal/min on
# 1,000 ft² is 0.9625 in/h. A lecture on precipitation rates: 8 gal/min on 60 × 15 ft is 0.86 in/h.
@pytest.mark.parametrize(("gpm", "ft2", "rate"), [(10, 1000, 0.9625), (8, 900, 0.86)])
def test_rate_from_flow_as_printed(gpm: float, ft2: float, rate: float) -> None:
    assert rate_from_flow(gpm * GAL, ft2 * FT2) / IN == pytest.approx(rate, abs=0.005)


def test_quarter_hour_catch_times_four() -> None:
    """The mean of a quarter of an hour times four is the hourly rate (catch-can instructions)."""
    found = audit([5, 6, 7, 8, 5, 6, 7, 8], 15)
    assert found.rate == pytest.approx(4 * 6.5)


def test_daily_minutes_from_evapotranspiration() -> None:
    """University of Nevada (B. Carlos and J. Guitjens, Gross Estimated Runtimes): ETo 0.35 in a
    day, 85 % efficient, 3.60 gal/min on 15 × 15 ft: 15.9, about 16 minutes a day.
    """
    rate = rate_from_flow(3.60 * GAL, 225 * FT2)
    assert run_minutes(0.35 * IN / 0.85, rate) == pytest.approx(15.9, abs=0.2)


def test_lowest_quarter_as_printed() -> None:
    """An irrigation examination: mean 0.70 in, lowest quarter 0.68 in, uniformity 97 %."""
    rest = (0.70 * 8 - 0.68 * 2) / 6
    found = audit([0.68 * IN] * 2 + [rest * IN] * 6, 15)
    assert found.uniformity == pytest.approx(0.97, abs=0.005)


def test_volume_in_a_can() -> None:
    """1 mm on 1 m² is 1 litre, whatever the can: checked by a mouth of one square metre."""
    across = 2 * math.sqrt(1 / math.pi) * 1000
    assert depth_from_volume(1, across) == pytest.approx(1)


def test_few_cans_are_said_to_be_few() -> None:
    """J. American Water Resources Assoc. 2007: 2 to 8 cans for 25 % under fixed sprinklers."""
    assert audit([5.0] * 8, 15).error_within_quarter == "sure"
    assert audit([5.0] * 7, 15).error_within_quarter == "perhaps"


@pytest.mark.parametrize(
    ("depths", "minutes"),
    [([1, 2, 3], 15), ([1, 2, 3, -1], 15), ([0, 0, 0, 0], 15), ([1, 2, 3, 4], 0)],
)
def test_no_audit(depths: list[float], minutes: float) -> None:
    with pytest.raises(ValueError, match=r"cans|catch|caught|time"):
        audit(depths, minutes)


@given(st.lists(st.floats(0.1, 50), min_size=4, max_size=40), st.floats(1, 60))
def test_uniformity_is_a_share_and_order_does_not_matter(
    depths: list[float], minutes: float
) -> None:
    found = audit(depths, minutes)
    assert 0 < found.uniformity <= 1 + 1e-9
    again = audit(depths[::-1], minutes)
    assert again.uniformity == pytest.approx(found.uniformity)
    assert again.rate == pytest.approx(found.rate)
    assert 1 - 1e-9 <= multiplier(min(1.0, found.uniformity)) <= 2.5
