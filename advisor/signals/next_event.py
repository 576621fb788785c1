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
    days = np.arange(happens.shape[-1])
    next_event = _next(happens == 1.0, days)
    next_unknown = _next(np.isnan(happens), days)
    # So many days are known to pass without the event.
    clear = np.minimum(np.minimum(next_event, next_unknown), days.size) - days
    ahead = np.where(next_event < next_unknown, next_event - days, np.nan)
    return np.where(clear >= search_days, float(search_days), ahead)


def days_since(event: npt.ArrayLike, search_days: int) -> FloatArray:
    """Days from the last day with the event to each day, at most `search_days`; (..., days).

    As `days_until`, backwards: NaN where an unknown day came after the last event, and where the
    array begins too late to tell.
    """
    happens = np.asarray(event, dtype=np.float64)
    return days_until(happens[..., ::-1], search_days)[..., ::-1]


def _next(happens: npt.NDArray[np.bool_], days: npt.NDArray[np.int_]) -> npt.NDArray[np.int_]:
    """For each day the first from it on where it happens; past the last one if there is none."""
    at = np.where(happens, days, days.size)
    return np.minimum.accumulate(at[..., ::-1], axis=-1)[..., ::-1]


def starts_run(condition: npt.ArrayLike, length: int) -> FloatArray:
    """1 where `condition` (1, 0, NaN) holds for `length` days from this one on; (..., days).

    A run that is broken by a known day is no run, whatever the unknown days in it.
    """
    holds = np.asarray(condition, dtype=np.float64)
    broken = leading_sum(np.where(np.isnan(holds), 0.0, 1.0 - holds), length)
    total = leading_sum(holds, length)
    known = np.where(broken > 0, 0.0, np.where(np.isnan(total), np.nan, 1.0))
    return np.asarray(known, dtype=np.float64)
