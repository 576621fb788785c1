"""What a source gave: consecutive days in canonical units, and what is to be said about them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

import numpy as np

from advisor.base.record import Record
from advisor.fetch.failure import FetchFailed
from advisor.weather.table import Source, Values, WeatherTable


class Batch(Record, frozen=True):
    """table: whose source's attribution is printed with every answer. address: where it is from.

    issued: when a forecast was made, UTC. fresh_seconds: how long it is good, if that is said.
    """

    table: WeatherTable
    address: str
    issued: dt.datetime | None = None
    fresh_seconds: int | None = None


def table_of(
    days: list[dt.date],
    columns: Mapping[str, Values],
    attribution: str,
    host: str,
    wind_height_m: float = 10.0,
) -> WeatherTable:
    """Days in any order, each once, as a table from the first to the last with a temperature.

    columns: canonical name → (days,). Raises `FetchFailed` if no day has both temperatures, or if
    a day stands twice.
    """
    given = np.array(days, dtype="datetime64[D]")
    if len(np.unique(given)) != len(given):
        raise FetchFailed(f"{host}: the answer is of no use: a day stands twice")
    known = ~np.isnan(columns["air_max_c"]) & ~np.isnan(columns["air_min_c"])
    if not known.any():
        raise FetchFailed(f"{host}: the answer has no day with both temperatures")
    first, last = given[known].min(), given[known].max()
    inside = (given >= first) & (given <= last)
    whole = np.arange(first, last + np.timedelta64(1, "D"))
    at = (given[inside] - first).astype(np.int64)
    laid = {}
    for name, values in columns.items():
        laid[name] = np.full(len(whole), np.nan)
        laid[name][at] = np.round(values[inside], 3)
    source = Source(host, "own file", attribution)
    return WeatherTable(whole, laid, source, wind_height_m=wind_height_m)


def degrees(value: float) -> str:
    """Degrees with at most four decimals and no zeros behind them; services redirect others."""
    return f"{value:.4f}".rstrip("0").rstrip(".")
