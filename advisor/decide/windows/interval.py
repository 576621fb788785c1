"""Windows as intervals on each member, read off arrays of truth; and dates with their chances.

A one-day condition has no memory (soil is under 72 °F in April too), so a window opens once in a
season year, after its anchor, when its condition has held for some days, and stays open until its
closing condition has held.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record
from advisor.facts.axis import Axis
from advisor.rulebook.conditions import Condition, Leaf
from advisor.signals.running import quantiles

Series = NDArray[np.float64] | float | str
TruthArray = NDArray[np.int8]

TRUE, FALSE, UNKNOWN = np.int8(1), np.int8(0), np.int8(-1)


def truth_array(
    condition: Condition, series: Mapping[str, Series | None], shape: tuple[int, ...]
) -> TruthArray:
    """The tree's truth, shape `shape`: 1 true, 0 false, -1 unknown.

    `series` maps a fact to an array that broadcasts to `shape` (NaN is unknown, flags are 0 and
    1), to one number or choice for all days, or to None. Raises KeyError for a missing fact.
    """
    if isinstance(condition, Leaf):
        return _leaf(condition, series[condition.fact], shape)
    parts = [truth_array(part, series, shape) for part in condition.parts]
    if condition.how == "all":
        return _all(parts)
    found = _any(parts)
    return found if condition.how == "any" else _not(found)


def _all(parts: list[TruthArray]) -> TruthArray:
    false = np.any([p == FALSE for p in parts], axis=0)
    unknown = np.any([p == UNKNOWN for p in parts], axis=0)
    return _compose(false, unknown, FALSE, TRUE)


def _any(parts: list[TruthArray]) -> TruthArray:
    true = np.any([p == TRUE for p in parts], axis=0)
    unknown = np.any([p == UNKNOWN for p in parts], axis=0)
    return _compose(true, unknown, TRUE, FALSE)


def _compose(decided: Any, unknown: Any, when: np.int8, otherwise: np.int8) -> TruthArray:
    out: TruthArray = np.where(decided, when, np.where(unknown, UNKNOWN, otherwise))
    return out.astype(np.int8)


def _not(part: TruthArray) -> TruthArray:
    flipped: TruthArray = np.where(part == UNKNOWN, UNKNOWN, 1 - part).astype(np.int8)
    return flipped


def _leaf(leaf: Leaf, value: Series | None, shape: tuple[int, ...]) -> TruthArray:
    if isinstance(value, str) or value is None:
        known = np.full(shape, value is not None)
        holds = np.full(shape, value is not None and _compare_choice(leaf, str(value)))
    else:
        array = np.broadcast_to(np.asarray(value, dtype=np.float64), shape)
        known = ~np.isnan(array)
        holds = _compare_number(leaf, array)
    if leaf.comparison == "known":
        asked: TruthArray = np.asarray(known == bool(leaf.limit), dtype=np.int8)
        return asked
    truth: TruthArray = np.where(known, holds, UNKNOWN).astype(np.int8)
    return truth


def _compare_choice(leaf: Leaf, value: str) -> bool:
    limits = leaf.limit if isinstance(leaf.limit, tuple) else (leaf.limit,)
    inside = value in limits
    return not inside if leaf.comparison in ("is_not", "none_of") else inside


def _compare_number(leaf: Leaf, array: NDArray[np.float64]) -> NDArray[np.bool_]:
    limit: Any = leaf.limit
    if leaf.comparison == "known":
        return np.ones(array.shape, dtype=bool)
    if isinstance(limit, tuple):
        inside = np.isin(array, np.asarray(limit, dtype=np.float64))
        return ~inside if leaf.comparison == "none_of" else inside
    with np.errstate(invalid="ignore"):
        result = {
            "over": np.greater,
            "under": np.less,
            "at_least": np.greater_equal,
            "at_most": np.less_equal,
            "is": np.equal,
            "is_not": np.not_equal,
        }[leaf.comparison](array, float(limit))
    return np.asarray(result)


NEVER = -1
UNCERTAIN = -2

Days = NDArray[np.int64]


class Intervals(Record, frozen=True):
    """One interval for each member. Day indices count from the first day of the arrays.

    opens: first open day; NEVER if the window has no open day, UNCERTAIN if unknown facts could
    have opened it. closes: first day no longer open; NEVER or UNCERTAIN where `opens` is, and
    UNCERTAIN where unknown facts could have closed it.
    """

    opens: Days
    closes: Days

    @property
    def certain(self) -> NDArray[np.bool_]:
        return np.asarray((self.opens != UNCERTAIN) & (self.closes != UNCERTAIN))

    @property
    def opened(self) -> NDArray[np.bool_]:
        return np.asarray(self.certain & (self.opens != NEVER))


def find_intervals(
    opens: TruthArray,
    closes: TruthArray | None,
    after: int,
    until: int,
    held: int = 1,
    closes_held: int = 1,
) -> Intervals:
    """Intervals between day `after` (inclusive) and day `until` (exclusive).

    opens, closes: truth arrays of shape (members, days). The opening condition must hold on
    `held` days in a row, all on or after `after`; the window opens on the last of them. The
    closing condition must hold on `closes_held` days in a row, all on or after the opening day;
    the last of them is the first day no longer open. At the latest it closes on `until`.
    """
    members, days = opens.shape
    after, until = max(after, 0), min(until, days)
    if after >= until:
        nothing = np.full(members, UNCERTAIN, dtype=np.int64)
        return Intervals(nothing, nothing.copy())
    opened = _first_run(opens[:, after:until], held) + after
    never = opened == until
    uncertain = _unknown_before(opens[:, after:until], np.minimum(opened + 1, until) - after)
    opening = np.where(uncertain, UNCERTAIN, np.where(never, NEVER, opened))
    closing = np.full(members, until, dtype=np.int64)
    doubtful = np.zeros(members, dtype=bool)
    if closes is not None:
        # Days before the opening neither close the window nor make its closing uncertain.
        index = np.arange(after, until)
        part = np.where(index < opened[:, None], FALSE, closes[:, after:until]).astype(np.int8)
        closing = _first_run(part, closes_held) + after
        doubtful = _unknown_before(part, np.minimum(closing + 1, until) - after)
    # A window that would close on its opening day has no day in it.
    opening = np.where(~doubtful & (closing == opening), NEVER, opening)
    closing = np.where(opening < 0, opening, np.where(doubtful, UNCERTAIN, closing))
    return Intervals(opening.astype(np.int64), closing.astype(np.int64))


def _first_run(truth: TruthArray, length: int) -> Days:
    """Index of the last day of the first run of `length` true days; the width if there is none."""
    members, days = truth.shape
    total = np.zeros((members, days + 1), dtype=np.int64)
    np.cumsum(truth == TRUE, axis=1, out=total[:, 1:])
    length = max(length, 1)
    if length > days:
        return np.full(members, days, dtype=np.int64)
    full = total[:, length:] - total[:, :-length] == length
    found = full.any(axis=1)
    return np.asarray(np.where(found, full.argmax(axis=1) + length - 1, days), dtype=np.int64)


def _unknown_before(truth: TruthArray, end: Days) -> NDArray[np.bool_]:
    """Whether any of the first `end` days of a member is unknown."""
    index = np.arange(truth.shape[1])
    return np.asarray(((truth == UNKNOWN) & (index < end[:, None])).any(axis=1))


ENOUGH_YEARS = 20
Z90 = 1.2815515655446004
"""The 90 % point of the standard normal distribution."""


class Spread(Record, frozen=True):
    """The dates by which something has happened in 1, 5 and 9 members of 10."""

    p10: dt.date
    p50: dt.date
    p90: dt.date


def spread_of(indices: NDArray[np.int64], axis: Axis) -> Spread:
    """The spread of some day indices of an axis."""
    low, middle, high = (axis.date(round(q)) for q in date_quantiles(indices))
    return Spread(low, middle, high)


def date_quantiles(indices: NDArray[np.int64]) -> tuple[float, float, float]:
    """The 10, 50 and 90 % points of some days.

    From 20 years on between order statistics (Hyndman and Fan 1996, type 7); with fewer, of a
    normal curve through their mean and spread, whose 10 % date was the steadier one for small
    samples (derived: freeze dates of two places resampled).
    """
    days = indices.astype(np.float64)
    if len(days) >= ENOUGH_YEARS:
        low, middle, high = quantiles(days, (0.1, 0.5, 0.9))
        return low, middle, high
    mean = float(days.mean())
    spread = float(days.std(ddof=1)) if len(days) > 1 else 0.0
    return mean - Z90 * spread, mean, mean + Z90 * spread
