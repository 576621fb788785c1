"""The one place that uses pandas: fixed columns of text, dates by a pattern, hours to days.

pandas is imported inside the functions, since most runs read a plain daily CSV and need none.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record
from advisor.weather.table import Days, Values

Stamps = NDArray[np.datetime64]
#: How hours become a day.
Method = Literal["max", "min", "mean", "sum"]
HOURS = 24


class DayOfHours(Record, frozen=True):
    """One daily column made of hourly values. source: name of the hourly column."""

    name: str
    source: str
    method: Method


class DailyValues(Record, frozen=True):
    """days: sorted, each once. columns: name → (days,). hours: hourly column → hours known."""

    days: Days
    columns: Mapping[str, Values]
    hours: Mapping[str, NDArray[np.int64]]


def spaced_numbers(
    lines: Sequence[str], names: Sequence[str], missing: Mapping[str, Sequence[float]]
) -> dict[str, Values]:
    """Numbers of the columns named in `missing`, with their codes for missing values as NaN.

    lines: rows of `names` divided by blanks. A cell that is no number becomes inf, which no
    weather value is.
    """
    import pandas as pd

    frame = pd.read_csv(
        io.StringIO("".join(lines)),
        sep=r"\s+",
        header=None,
        names=list(names),
        usecols=list(missing),
        na_filter=False,
        quoting=csv.QUOTE_NONE,
    )
    found: dict[str, Values] = {}
    for name, codes in missing.items():
        numbers = pd.to_numeric(frame[name], errors="coerce").to_numpy(dtype=np.float64)
        numbers = np.where(np.isfinite(numbers), numbers, np.inf)
        found[name] = np.where(np.isin(numbers, codes), np.nan, numbers)
    return found


def stamps(cells: Sequence[str], pattern: str) -> Stamps:
    """Dates and times (cells,) to the second, written as `strftime` would; NaT for other text."""
    import pandas as pd

    parsed = pd.to_datetime(pd.Series(list(cells), dtype=object), format=pattern, errors="coerce")
    return parsed.to_numpy().astype("datetime64[s]")


def hours_to_days(
    times: Stamps, columns: Mapping[str, Values], wanted: Sequence[DayOfHours], fewest: int
) -> DailyValues:
    """Daily values from hourly or finer ones.

    times: (rows,), without NaT. columns: name → (rows,). A day's value is unknown unless at least
    `fewest` of its clock hours have a known value. A mean is that of the hours' means, so that an
    hour with more readings counts no more.
    """
    import pandas as pd

    hour = pd.Series(times.astype("datetime64[h]").astype("datetime64[s]"), name="hour")
    frame = pd.DataFrame(dict(columns))
    by_hour = frame.groupby(hour)
    day = pd.Series(
        np.unique(hour.to_numpy()).astype("datetime64[D]").astype("datetime64[s]"), name="day"
    )
    known = by_hour.count().gt(0).reset_index(drop=True).groupby(day).sum()
    hourly = {
        "max": by_hour.max(),
        "min": by_hour.min(),
        "mean": by_hour.mean(),
        "sum": by_hour.sum(),
    }
    daily = {}
    for one in wanted:
        values = hourly[one.method][one.source].reset_index(drop=True).groupby(day)
        reduced = values.agg(one.method).where(known[one.source] >= fewest)
        daily[one.name] = reduced.to_numpy(dtype=np.float64)
    days: Days = known.index.to_numpy().astype("datetime64[D]")
    return DailyValues(
        days, daily, {name: known[name].to_numpy(dtype=np.int64) for name in columns}
    )
