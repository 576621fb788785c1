"""A window as an interval: the day it opens and the day it closes, for each member.

A one-day condition has no memory (soil is under 72 °F in April too), so a window opens once in a
season year, after its anchor, when its condition has held for some days, and stays open until its
closing condition has held.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record
from advisor.windows.truth_arrays import FALSE, TRUE, UNKNOWN, TruthArray

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
