"""How many days until something next happens, on each day of each member."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.signals.running import FloatArray, leading_sum


def days_until(event: npt.ArrayLike, search_days: int) -> FloatArray:
    """Days from each day to the next day with the event, at most `search_days`; (..., days).

    `event` is 1, 0 or NaN (unknown). 0 on a day with the event; `search_days` means that many or
    more. NaN where an unknown day comes before the event and within the search.
    """
    happens = np.asarray(event, dtype=np.float64)
    out = np.full(happens.shape, np.nan)
    ahead = np.full(happens.shape[:-1], np.nan)
    clear = np.zeros(happens.shape[:-1])
    for day in range(happens.shape[-1] - 1, -1, -1):
        today = happens[..., day]
        known, now = ~np.isnan(today), today == 1.0
        clear = np.where(known & ~now, clear + 1, 0)
        ahead = np.where(now, 0.0, np.where(known, ahead + 1, np.nan))
        far = (clear >= search_days) | (ahead > search_days)
        out[..., day] = np.where(far, search_days, ahead)
    return out


def starts_run(condition: npt.ArrayLike, length: int) -> FloatArray:
    """1 where `condition` (1, 0, NaN) holds for `length` days from this one on; (..., days).

    A run that is broken by a known day is no run, whatever the unknown days in it.
    """
    holds = np.asarray(condition, dtype=np.float64)
    broken = leading_sum(np.where(np.isnan(holds), 0.0, 1.0 - holds), length)
    total = leading_sum(holds, length)
    known = np.where(broken > 0, 0.0, np.where(np.isnan(total), np.nan, 1.0))
    return np.asarray(known, dtype=np.float64)
