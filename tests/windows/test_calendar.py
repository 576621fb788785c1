"""Chances of days and weeks against a count of open days, one after the other."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from advisor.decide.windows.interval import NEVER, UNCERTAIN, Intervals
from advisor.decide.windows.tracks import MOST_OF_A_WEEK, chance_of_days, chance_of_weeks

DAYS = 40


@st.composite
def members(draw):
    """An interval, one that never opens, or one that cannot be told, for each member."""
    found = []
    for _ in range(draw(st.integers(1, 8))):
        kind = draw(st.sampled_from(["open", "open", "never", "unknown", "no end"]))
        opens = draw(st.integers(0, DAYS - 1))
        closes = draw(st.integers(opens + 1, DAYS))
        found.append(
            {
                "open": (opens, closes),
                "never": (NEVER, NEVER),
                "unknown": (UNCERTAIN, UNCERTAIN),
                "no end": (opens, UNCERTAIN),
            }[kind]
        )
    return found


def intervals(found):
    opens, closes = (np.array(ends, dtype=np.int64) for ends in zip(*found, strict=True))
    return Intervals(opens, closes)


def plain_open_days(found):
    """For each member that can tell, the set of its open days."""
    return [
        set(range(opens, closes)) if opens != NEVER else set()
        for opens, closes in found
        if UNCERTAIN not in (opens, closes)
    ]


@given(members())
def test_days_are_counted(found):
    chances = chance_of_days(intervals(found), DAYS)
    known = plain_open_days(found)
    assert chances.shape == (DAYS,)
    for day in range(DAYS):
        if known:
            assert chances[day] == sum(day in days for days in known) / len(known)
        else:
            assert np.isnan(chances[day])


@given(members(), st.integers(-10, 5))
def test_weeks_are_counted_when_most_of_them_is_open(found, first):
    starts = np.arange(first, DAYS + 10, 7)
    chances = chance_of_weeks(intervals(found), starts)
    known = plain_open_days(found)
    for start, chance in zip(starts, chances, strict=True):
        week = set(range(start, start + 7))
        if known:
            count = sum(len(days & week) >= MOST_OF_A_WEEK for days in known)
            assert chance == count / len(known)
        else:
            assert np.isnan(chance)
