"""The interval logic against a plain day-by-day reading of the same definition."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.decide.windows.interval import NEVER, UNCERTAIN, find_intervals

TRUTH = st.sampled_from([1, 1, 1, 0, 0, -1])


def plain_reference(opens, closes, after, until, held, closes_held):
    """Walk the days of one member as a keeper would with a pencil."""
    after, until = max(after, 0), min(until, len(opens))
    if after >= until:
        return UNCERTAIN, UNCERTAIN
    run, opened = 0, None
    for day in range(after, until):
        if opens[day] == -1:
            return UNCERTAIN, UNCERTAIN
        run = run + 1 if opens[day] == 1 else 0
        if run >= held:
            opened = day
            break
    if opened is None:
        return NEVER, NEVER
    run = 0
    for day in range(opened, until):
        if closes is None:
            break
        if closes[day] == -1:
            return opened, UNCERTAIN
        run = run + 1 if closes[day] == 1 else 0
        if run >= closes_held:
            return (opened, day) if day > opened else (NEVER, NEVER)
    return opened, until


@pytest.mark.slow
@settings(max_examples=1500)
@given(
    opens=st.lists(st.lists(TRUTH, min_size=24, max_size=24), min_size=1, max_size=4),
    closes=st.none() | st.lists(TRUTH, min_size=24, max_size=24),
    after=st.integers(-3, 20),
    length=st.integers(-2, 30),
    held=st.integers(1, 5),
    closes_held=st.integers(1, 4),
)
def test_equals_the_plain_reference(opens, closes, after, length, held, closes_held):
    until = after + length
    shared = np.array([closes] * len(opens), dtype=np.int8) if closes is not None else None
    found = find_intervals(np.array(opens, dtype=np.int8), shared, after, until, held, closes_held)
    for member, row in enumerate(opens):
        expected = plain_reference(row, closes, after, until, held, closes_held)
        assert (found.opens[member], found.closes[member]) == expected


def test_a_warm_april_does_not_open_an_autumn_window():
    """The condition holds on days 1-3 too, but the window may open only from day 5 on."""
    opens = np.array([[0, 1, 1, 1, 0, 0, 0, 1, 1, 1, 1, 0]], dtype=np.int8)
    closes = np.array([[0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 1]], dtype=np.int8)
    found = find_intervals(opens, closes, after=5, until=12, held=2)
    assert (found.opens[0], found.closes[0]) == (8, 10)


def test_flicker_neither_reopens_nor_moves_the_opening():
    opens = np.array([[1, 0, 1, 0, 1, 1, 0, 1]], dtype=np.int8)
    found = find_intervals(opens, None, after=0, until=8, held=1)
    assert (found.opens[0], found.closes[0]) == (0, 8)
