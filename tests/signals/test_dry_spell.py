"""Days since a soaking, against days counted by hand."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.signals.running import dry_spell

NAN = np.nan


def test_counts_from_the_day_that_completes_the_soaking() -> None:
    rain = [0.0, 0.0, 5.0, 5.0, 4.0, 0.0, 0.0, 0.0]
    found = dry_spell(rain, 12.7)
    # 5 + 5 + 4 mm within three days reach half an inch (12.7 mm) on the fifth day.
    np.testing.assert_array_equal(found[:4], [NAN] * 4)
    np.testing.assert_array_equal(found[4:], [0.0, 1.0, 2.0, 3.0])


def test_a_dry_day_after_a_cloudburst_counts_as_dry() -> None:
    np.testing.assert_array_equal(dry_spell([0, 0, 30, 0, 0, 0], 12.7)[2:], [0, 1, 2, 3])


def test_an_unknown_day_may_have_been_the_last_soaking() -> None:
    rain = [20.0, 0.0, 0.0, NAN, 0.0, 0.0, 0.0, 15.0, 0.0]
    found = dry_spell(rain, 12.7)
    assert np.isnan(found[3:7]).all()
    np.testing.assert_array_equal(found[7:], [0.0, 1.0])


def test_no_soaking_within_the_search() -> None:
    found = dry_spell(np.zeros((2, 130)), 12.7)
    assert np.isnan(found[:, :121]).all()
    assert (found[:, 125:] == 120.0).all()
    with pytest.raises(ValueError, match="more than 0"):
        dry_spell([1.0], 0.0)
