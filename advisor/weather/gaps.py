"""What fills a gap: monthly normals, and a stated method; and what was filled.

A gap of up to three days is interpolated linearly. A longer one takes the mean of the same
calendar week (seven days either side) in the other years, if at least three of them know it; else
it stays unknown. Rain is never filled, and neither are days before the first or after the last
observation: nothing is known on their far side.

Evidence (derived, docs/weather.md): with gaps cut into three records of 31 to 37 years, a straight
line errs by 1.3-3.0 °C over one day and 1.7-4.4 °C over three, other years by 2.3-5.6 °C; the two
meet at one to two weeks. Seven days either side is our choice.
"""

from __future__ import annotations

import calendar
import datetime as dt
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record, replace
from advisor.weather.columns import BASIC
from advisor.weather.offences import counted
from advisor.weather.seasons import calendar_years, same_day
from advisor.weather.smooth_year import daily_curve
from advisor.weather.table import Fill, Marks, Source, Values, WeatherTable

NORMALS_FILE = "normals.csv"


class MonthlyNormals(Record, frozen=True):
    """Means of January to December: temperatures in °C, rain in mm a month (NaN = unknown)."""

    file: str
    air_max_c: tuple[float, ...]
    air_min_c: tuple[float, ...]
    rain_mm: tuple[float, ...]
    attribution: str


def typical_days(normals: MonthlyNormals, first: dt.date, last: dt.date) -> WeatherTable:
    """The typical year repeated over `first` to `last`; every cell is marked as filled.

    Temperatures follow `daily_curve`. Rain is the mean amount a day: it has the right total but
    no dry spells, so it must not be used to say when the next rain comes.
    """
    days = np.arange(np.datetime64(first), np.datetime64(last) + np.timedelta64(1, "D"))
    years = calendar_years(days)
    of_year = (days - days.astype("datetime64[Y]").astype("datetime64[D]")).astype(np.int64)
    leap = np.array([calendar.isleap(int(year)) for year in years])
    columns = {}
    for name in BASIC:
        common, long = _curves(name, getattr(normals, name))
        columns[name] = np.where(leap, long[of_year], common[np.minimum(of_year, 364)])
    filled = {
        name: np.where(np.isnan(values), Fill.OBSERVED, Fill.NORMALS).astype(np.uint8)
        for name, values in columns.items()
    }
    source = Source(normals.file, "monthly normals", normals.attribution)
    note = "a typical year from monthly normals, not this year's weather"
    return WeatherTable(days, columns, source, filled=filled, notes=(note,))


@lru_cache(maxsize=16)
def _curves(name: str, monthly: tuple[float, ...]) -> tuple[Values, Values]:
    """The daily curves of a common and of a leap year."""
    common, long = (_curve(name, monthly, year) for year in (2025, 2024))
    return common, long


def _curve(name: str, monthly: tuple[float, ...], year: int) -> Values:
    lengths = [calendar.monthrange(year, month)[1] for month in range(1, 13)]
    if name != "rain_mm":
        return daily_curve(monthly, lengths)
    rates = np.array(monthly) / lengths
    curve = daily_curve(rates.tolist(), lengths)
    return curve if np.all(curve >= 0) else np.repeat(rates, lengths)


SHORT_GAP_DAYS = 3
WEEK_HALF_WIDTH = 7
YEARS_NEEDED = 3
_FILLED = ("air_max_c", "air_min_c")
_Positions = NDArray[np.int64]


def fill_gaps(table: WeatherTable) -> WeatherTable:
    """The table with gaps of its two temperatures filled and marked.

    Hide later days (`WeatherTable.until`) first: other years include later ones.
    """
    columns, filled = dict(table.columns), dict(table.filled)
    for name in _FILLED:
        columns[name], filled[name] = _fill(table, columns[name], filled[name])
    with np.errstate(invalid="ignore"):
        turned = columns["air_max_c"] < columns["air_min_c"]
    for name in _FILLED:  # a filled value that contradicts its observed partner is worth nothing
        worthless = turned & np.isin(filled[name], (Fill.INTERPOLATED, Fill.OTHER_YEARS))
        columns[name] = np.where(worthless, np.nan, columns[name])
        filled[name] = np.where(worthless, Fill.OBSERVED, filled[name]).astype(np.uint8)
    return replace(table, columns=columns, filled=filled)


def gap_report(table: WeatherTable) -> str:
    """One sentence on what was filled and what temperature is still unknown."""
    marks = np.vstack([table.filled[name] for name in _FILLED])
    unknown = np.vstack([np.isnan(table.columns[name]) for name in _FILLED]).any(axis=0)
    between = int(np.count_nonzero((marks == Fill.INTERPOLATED).any(axis=0)))
    borrowed = (marks == Fill.OTHER_YEARS).any(axis=0)
    from_years = int(np.count_nonzero(borrowed & ~(marks == Fill.INTERPOLATED).any(axis=0)))
    total, left = between + from_years, int(np.count_nonzero(unknown))
    if not total and not left:
        return f"no gaps in the temperatures of {len(table):,} days"
    parts = [f"{between:,} by interpolation"] if between else []
    parts += [f"{from_years:,} from other years' same week"] if from_years else []
    how = f" ({', '.join(parts)})" if parts else ""
    still = f"; {left:,} left unknown" if left else ""
    return f"{counted(total, 'day')} of {len(table):,} filled{how}{still}"


def _fill(table: WeatherTable, values: Values, marks: Marks) -> tuple[Values, Marks]:
    known = np.flatnonzero(~np.isnan(values))
    if len(known) < 2:
        return values, marks
    values, marks = values.copy(), marks.copy()
    before, after = known[:-1], known[1:]
    size = after - before - 1
    short = _between(before, size, (size > 0) & (size <= SHORT_GAP_DAYS))
    long = _between(before, size, size > SHORT_GAP_DAYS)
    observed = values.copy()
    values[short] = np.round(np.interp(short, known, observed[known]), 2)
    marks[short] = Fill.INTERPOLATED
    if len(long):
        means = _same_week_of_other_years(table, observed, long)
        found = ~np.isnan(means)
        values[long[found]] = np.round(means[found], 2)
        marks[long[found]] = Fill.OTHER_YEARS
    return values, marks


def _between(
    before: NDArray[np.intp], size: NDArray[np.intp], chosen: NDArray[np.bool_]
) -> _Positions:
    spans = [np.arange(b + 1, b + 1 + n) for b, n in zip(before[chosen], size[chosen], strict=True)]
    return np.concatenate(spans) if spans else np.empty(0, dtype=np.int64)


def _same_week_of_other_years(table: WeatherTable, values: Values, at: _Positions) -> Values:
    """Mean (len(at),) over the other years of the mean around the same calendar day."""
    count, half = len(values), WEEK_HALF_WIDTH
    known = ~np.isnan(values)
    sums = np.concatenate([[0.0], np.cumsum(np.where(known, values, 0.0))])
    counts = np.concatenate([[0], np.cumsum(known)])
    present = calendar_years(table.days)
    shifts = np.arange(present[0], present[-1] + 1)[:, None] - present[at]
    there = (same_day(table.days[at], shifts) - table.days[0]).astype(np.int64)
    low, high = np.clip(there - half, 0, count), np.clip(there + half + 1, 0, count)
    days = counts[high] - counts[low]
    usable = (days > half) & (shifts != 0)  # more than half of the fifteen days
    week = np.where(usable, (sums[high] - sums[low]) / np.maximum(days, 1), 0.0)
    years = usable.sum(axis=0)
    enough = years >= YEARS_NEEDED
    return np.where(enough, week.sum(axis=0) / np.maximum(years, 1), np.nan)
