"""Runs of rainy days, against runs counted by hand."""

from __future__ import annotations

import numpy as np
import pytest

from advisor.signals.running import longest_wet_run


def test_longest_run_of_the_last_days() -> None:
    rain = [0.0, 3.0, 1.0, 0.9, 5.0, 0.0, 0.0, 0.0]
    found = longest_wet_run(rain, 4)
    assert np.isnan(found[:3]).all()
    # A day of 0.9 mm is no wet day (WMO: 1 mm or more).
    np.testing.assert_array_equal(found[3:], [2.0, 2.0, 1.0, 1.0, 1.0])


def test_an_unknown_day_leaves_it_unknown() -> None:
    found = longest_wet_run([2.0, np.nan, 2.0, 2.0, 2.0], 3)
    assert np.isnan(found[:4]).all()
    assert found[4] == 3.0
    with pytest.raises(ValueError, match="at least 1 day"):
        longest_wet_run([1.0], 0)
