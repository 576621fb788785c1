"""Signs of a season past its peak, on a curve whose peak is known."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.signals.season_shape import PEAK_WINDOW_DAYS, TREND_DAYS, past_warm_peak

DAYS = np.arange(200)
PEAK = 70
CURVE = 20.0 + 5.0 * np.cos(2.0 * np.pi * (DAYS - PEAK) / 365.0)


def test_the_peak_of_a_smooth_year() -> None:
    """A trailing mean of a symmetric curve peaks (window - 1) / 2 days after it."""
    signs = past_warm_peak(CURVE, start=30)
    late = PEAK + (PEAK_WINDOW_DAYS - 1) / 2
    assert signs.days_since_peak[30:84].max() == 0.0
    assert signs.days_since_peak[150] == pytest.approx(150 - late, abs=0.6)
    assert signs.falling[60] == 0.0
    assert signs.falling[int(late + TREND_DAYS) + 1] == 1.0
    expected = CURVE[121:151].mean()
    assert signs.trailing_c[150] == pytest.approx(expected)
    assert signs.below_peak_c[150] == pytest.approx(signs.peak_c[150] - expected)


def test_only_the_season_counts() -> None:
    """A hotter time before the season year's first day is no peak of this season."""
    hot = np.where(DAYS < 30, 35.0, CURVE)
    signs = past_warm_peak(hot, start=60)
    assert np.isnan(signs.trailing_c[:60]).all()
    assert np.isnan(signs.falling[:60]).all()
    assert signs.peak_c[60:].max() < 26.0


def test_no_look_ahead() -> None:
    signs = past_warm_peak(CURVE, start=10)
    changed = CURVE.copy()
    changed[120:] = 40.0
    other = past_warm_peak(changed, start=10)
    for name in ("trailing_c", "peak_c", "below_peak_c", "days_since_peak", "falling"):
        np.testing.assert_array_equal(getattr(signs, name)[:120], getattr(other, name)[:120])


def test_gaps() -> None:
    """Three unknown days in thirty pass; four hide the peak from then on."""
    some = np.stack([CURVE, CURVE])
    some[0, 80:83] = np.nan
    some[1, 80:84] = np.nan
    signs = past_warm_peak(some, start=30)
    assert not np.isnan(signs.peak_c[0, 30:]).any()
    assert np.isnan(signs.peak_c[1, 83:]).all()
    assert not np.isnan(signs.trailing_c[1, 113:]).any()


def test_short_input_and_bad_start() -> None:
    assert np.isnan(past_warm_peak(CURVE[:5]).peak_c).all()
    with pytest.raises(ValueError, match="outside"):
        past_warm_peak(CURVE, start=200)
