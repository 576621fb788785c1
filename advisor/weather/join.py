"""One table from the keeper's own record, the fetched history and the forecast."""

from __future__ import annotations

import datetime as dt
import math
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from advisor.weather.kept_weather import Fetched
from advisor.weather.table import Days, Marks, Origin, Source, Values, WeatherTable

_TEMPERATURES = ("air_max_c", "air_min_c")


def join(
    own: WeatherTable | None,
    fetched: Fetched | None,
    forecast: Fetched | None,
    zone: str | None = None,
) -> WeatherTable:
    """The keeper's own values where they are known, else the fetched ones; then the forecast.

    The two temperatures of a day are taken from one record. A forecast counts from the day it was
    issued (in the IANA time zone, by default UTC) and after the last observed day; a day of which
    it knows one temperature only is left out. Wind is brought to the height of the own gauge.
    Raises `ValueError` if there is none of the three.
    """
    seen = [table for table in (own, fetched.table if fetched else None) if table is not None]
    if not seen and forecast is None:
        raise ValueError("nothing to join")
    if forecast is None and fetched is None:
        return seen[0]
    origins = [Origin(table.source.attribution, table.last) for table in seen]
    base = overlay(seen[0], seen[1]) if len(seen) == 2 else (seen[0] if seen else None)
    if forecast is not None:
        issued = forecast.issued.astimezone(ZoneInfo(zone or "UTC")).date()
        base = _append(base, forecast.table, issued)
        origins.append(Origin(forecast.attribution, issued, forecast=True))
    assert base is not None
    attribution = "; ".join(origin.attribution for origin in origins)
    source = Source(base.source.file, base.source.kind, attribution)
    notes = own.notes if own is not None else ()
    return WeatherTable(
        base.days, base.columns, source, base.filled, notes, base.wind_height_m,
        base.forecast_from, base.forecast_issued, tuple(origins),
    )  # fmt: skip


def overlay(first: WeatherTable, second: WeatherTable) -> WeatherTable:
    """Both records over all their days; what the first knows stands."""
    days = _all_days(first, second)
    names = dict.fromkeys((*first.columns, *second.columns))
    columns: dict[str, Values] = {}
    filled: dict[str, Marks] = {}
    pair = np.zeros(len(days), dtype=bool)
    for name in _TEMPERATURES:
        pair |= ~np.isnan(_on(first, name, days))
    for name in names:
        mine, other = _on(first, name, days), _on(second, name, days)
        if name == "wind_m_s":
            other = other * _wind_ratio(second.wind_height_m, first.wind_height_m)
        keep = pair if name in _TEMPERATURES else ~np.isnan(mine)
        columns[name] = np.where(keep, mine, other)
        marks = np.where(keep, _marks_on(first, name, days), _marks_on(second, name, days))
        filled[name] = marks.astype(np.uint8)
    return WeatherTable(
        days, columns, first.source, filled, first.notes, first.wind_height_m
    )  # fmt: skip


def _append(
    record: WeatherTable | None, forecast: WeatherTable, issued: dt.date
) -> WeatherTable | None:
    """The record with the usable days of the forecast behind its last observed day."""
    start = np.datetime64(issued)
    if record is not None and record.last is not None:
        start = max(start, np.datetime64(record.last) + np.timedelta64(1, "D"))
    known = ~np.isnan(forecast.columns["air_max_c"]) & ~np.isnan(forecast.columns["air_min_c"])
    usable = np.flatnonzero(known & (forecast.days >= start))
    if not len(usable):
        return record
    part = slice(int(usable[0]), int(usable[-1]) + 1)
    columns = {name: values[part].copy() for name, values in forecast.columns.items()}
    for name in _TEMPERATURES:
        columns[name][~known[part]] = np.nan
    ahead = WeatherTable(
        forecast.days[part], columns, forecast.source, wind_height_m=forecast.wind_height_m
    )
    whole = ahead if record is None else overlay(record, ahead)
    first: dt.date = ahead.days[0].item()
    return WeatherTable(
        whole.days, whole.columns, whole.source, whole.filled, whole.notes, whole.wind_height_m,
        first, issued,
    )  # fmt: skip


def _all_days(first: WeatherTable, second: WeatherTable) -> Days:
    start, end = min(first.days[0], second.days[0]), max(first.days[-1], second.days[-1])
    days: Days = np.arange(start, end + np.timedelta64(1, "D"))
    return days


def _on(table: WeatherTable, name: str, days: Days) -> Values:
    found = np.full(len(days), np.nan)
    found[_rows(table, days)] = table.column(name)
    return found


def _marks_on(table: WeatherTable, name: str, days: Days) -> NDArray[np.uint8]:
    found = np.zeros(len(days), dtype=np.uint8)
    found[_rows(table, days)] = table.filled.get(name, 0)
    return found


def _rows(table: WeatherTable, days: Days) -> slice:
    start = int((table.days[0] - days[0]).astype(np.int64))
    return slice(start, start + len(table))


def _wind_ratio(height: float, wanted: float) -> float:
    """Wind at one height over wind at another, both in m.

    Logarithmic profile over short grass: Allen et al. 1998, FAO Irrigation and Drainage Paper 56,
    equation 47.
    """
    return math.log(67.8 * wanted - 5.42) / math.log(67.8 * height - 5.42)
