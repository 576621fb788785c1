"""Monthly normals, for a place without a daily record, and the typical year they make."""

from __future__ import annotations

import calendar
import datetime as dt
from functools import lru_cache

import numpy as np

from advisor.base.record import Record
from advisor.weather.columns import BASIC
from advisor.weather.same_day import calendar_years
from advisor.weather.smooth_year import daily_curve
from advisor.weather.table import Fill, Source, Values, WeatherTable

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
