"""Running statistics against numpy written out the long way."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.signals.running import exponential_mean, leading_sum, trailing_mean, trailing_sum

values = st.lists(
    st.one_of(st.floats(-40.0, 40.0), st.just(float("nan"))), min_size=1, max_size=200
)


@given(values, st.integers(1, 9))
def test_windows_are_plain_slices(data: list[float], window: int) -> None:
    array = np.array(data)
    means, sums, ahead = (
        trailing_mean(array, window),
        trailing_sum(array, window),
        leading_sum(array, window),
    )
    for day in range(array.size):
        back = array[day - window + 1 : day + 1] if day >= window - 1 else np.array([np.nan])
        forth = array[day : day + window] if day + window <= array.size else np.array([np.nan])
        np.testing.assert_allclose(means[day], back.mean(), atol=1e-9)
        np.testing.assert_allclose(sums[day], back.sum(), atol=1e-9)
        np.testing.assert_allclose(ahead[day], forth.sum(), atol=1e-9)


@given(values, st.floats(0.01, 1.0))
def test_exponential_mean_is_its_recursion(data: list[float], share: float) -> None:
    total, weight = 0.0, 0.0
    means, weights = exponential_mean(np.array(data), share)
    for day, value in enumerate(data):
        known = not np.isnan(value)
        total = (1.0 - share) * total + (share * value if known else 0.0)
        weight = (1.0 - share) * weight + (share if known else 0.0)
        np.testing.assert_allclose(weights[day], weight, atol=1e-12)
        if weight > 1e-6:
            np.testing.assert_allclose(means[day], total / weight, atol=1e-7)
        elif weight == 0.0:
            assert np.isnan(means[day])


def test_members_do_not_touch_each_other() -> None:
    rows = np.random.default_rng(1).normal(size=(2, 3, 150))
    rows[0, 1, 40] = np.nan
    means, _ = exponential_mean(rows, 0.2)
    for i, j in np.ndindex(2, 3):
        np.testing.assert_allclose(means[i, j], exponential_mean(rows[i, j], 0.2)[0])


def test_min_known_tolerates_a_gap() -> None:
    data = np.array([1.0, np.nan, 3.0, 5.0])
    assert np.isnan(trailing_mean(data, 3)).all()
    assert trailing_mean(data, 3, min_known=2)[2:].tolist() == [2.0, 4.0]


@pytest.mark.parametrize("window", [0, -3])
def test_bad_window(window: int) -> None:
    with pytest.raises(ValueError, match="at least 1 day"):
        trailing_mean([1.0], window)


def test_bad_share_and_min_known() -> None:
    with pytest.raises(ValueError, match="share must lie"):
        exponential_mean([1.0], 0.0)
    with pytest.raises(ValueError, match="min_known"):
        trailing_mean([1.0], 1, min_known=2)


def test_a_window_longer_than_the_record_says_nothing() -> None:
    assert np.isnan(trailing_mean([1.0, 2.0], 5)).all()
