"""Quantiles against NumPy's own."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.signals.running import median, quantiles

NUMBERS = st.lists(st.floats(-1e6, 1e6), min_size=1, max_size=60).map(np.array)


@given(NUMBERS, st.lists(st.floats(0, 1), min_size=1, max_size=4))
def test_as_numpy_has_them(values: np.ndarray, shares: list[float]) -> None:
    wanted = np.quantile(values, shares)
    assert quantiles(values, shares) == pytest.approx(wanted, rel=1e-12, abs=1e-9)
    assert median(values) == pytest.approx(np.median(values), rel=1e-12, abs=1e-9)
