"""The forecast of the US National Weather Service: from a point to its grid cell to daily values.

Format: the service's API documentation, https://www.weather.gov/documentation/services-web-api and
https://weather-gov.github.io/api/gridpoints. Open data, free for any purpose; callers must say who
they are.
"""

from __future__ import annotations

import datetime as dt
from typing import Any
from zoneinfo import ZoneInfo

import numpy as np

from advisor.base.units import UnitError
from advisor.fetch.batch import Batch, degrees, table_of
from advisor.fetch.body import as_number, read_json
from advisor.fetch.client import Answer, Client
from advisor.fetch.failure import FetchFailed
from advisor.fetch.intervals import Span, days_of, extremes, means, read_interval, sums
from advisor.weather.columns import COLUMNS
from advisor.weather.headers import linear
from advisor.weather.table import Values

_ATTRIBUTION = "forecast of the National Weather Service"
#: When the warmest and the coldest hour of a day are usually over the land (from memory).
_WARM_HOUR, _COLD_HOUR = 15, 5
_UNITS = {
    "degC": "°C", "degF": "°F", "mm": "mm", "km_h-1": "km/h", "m_s-1": "m/s", "percent": "%",
}  # fmt: skip


def fetch_forecast_us(
    client: Client, base: str, latitude: float, longitude: float, zone: str | None
) -> Batch:
    """The forecast for a point, degrees north and east, by the local days of the IANA time zone.

    zone: None for the one that the service names. Raises `FetchFailed`.
    """
    host = base.partition("://")[2]
    point = f"{degrees(latitude)},{degrees(longitude)}"
    try:
        answer = client.get(f"{base}/points/{point}")
    except FetchFailed as failure:
        if failure.missing:
            raise FetchFailed(f"{failure} (it knows the United States only)") from None
        raise
    place = _properties(answer, host)
    office, x, y = (place.get(key) for key in ("gridId", "gridX", "gridY"))
    if not (isinstance(office, str) and office.isalnum() and type(x) is int and type(y) is int):
        raise _changed(host, "gridId, gridX and gridY")
    name = zone or place.get("timeZone")
    try:
        local = ZoneInfo(str(name))
    except (KeyError, ValueError, OSError):
        raise _changed(host, f"timeZone: {name!r:.40}") from None
    address = f"{base}/gridpoints/{office}/{x},{y}"
    answer = client.get(address)
    cell = _properties(answer, host)
    try:
        issued = dt.datetime.fromisoformat(cell["updateTime"]).astimezone(dt.UTC)
    except (KeyError, TypeError, ValueError, OverflowError):
        raise _changed(host, "updateTime") from None
    days, columns = daily_values(cell, local, host)
    table = table_of(days, columns, _ATTRIBUTION, host)
    return Batch(table, address, issued, answer.fresh_seconds)


def daily_values(
    cell: dict[str, Any], zone: ZoneInfo, host: str
) -> tuple[list[dt.date], dict[str, Values]]:
    """Days and canonical columns (days,) from the properties of a grid cell.

    Rain is known for the first days only, humidity and wind if they are given. Raises `FetchFailed`
    for a layer that is missing or has another form.
    """
    warm = _layer(cell, "maxTemperature", "air_max_c", host)
    cold = _layer(cell, "minTemperature", "air_min_c", host)
    rain = _layer(cell, "quantitativePrecipitation", "rain_mm", host)
    try:
        days = days_of([*warm, *cold], zone)
    except ValueError as error:
        raise _changed(host, str(error)) from None
    if not days:
        raise FetchFailed(f"{host}: the forecast has no temperatures")
    high = extremes(warm, days, zone, _WARM_HOUR, highest=True)
    low = extremes(cold, days, zone, _COLD_HOUR, highest=False)
    # The "low" of a night may be above the "high" of a cold day that follows: both are reached.
    columns = {
        "air_max_c": np.where(low > high, low, high),
        "air_min_c": np.where(low > high, high, low),
        "rain_mm": sums(rain, days, zone),
    }
    for name, ours in (("relativeHumidity", "humidity_pct"), ("windSpeed", "wind_m_s")):
        if name in cell:
            columns[ours] = means(_layer(cell, name, ours, host), days, zone)
    return days, columns


def _layer(cell: dict[str, Any], name: str, ours: str, host: str) -> list[Span]:
    """A layer of the cell in the unit of our column; values that are null are left out."""
    layer = cell.get(name)
    if not isinstance(layer, dict) or not isinstance(layer.get("values"), list):
        raise _changed(host, f"'{name}'")
    spans = []
    for item in layer["values"]:
        if not isinstance(item, dict) or "value" not in item or "validTime" not in item:
            raise _changed(host, f"'{name}': wanted value and validTime")
        value = item["value"]
        if value is None:
            continue
        number = as_number(value)
        if number is None:
            raise _changed(host, f"'{name}': wanted a number, found {value!r:.40}")
        try:
            start, end = read_interval(str(item["validTime"]))
        except ValueError as error:
            raise _changed(host, f"'{name}': {error}") from None
        slope, intercept = _conversion(layer.get("uom"), name, ours, host)
        spans.append(Span(start, end, number * slope + intercept))
    return spans


def _conversion(uom: Any, name: str, ours: str, host: str) -> tuple[float, float]:
    given, column = _UNITS.get(str(uom).rpartition(":")[2]), COLUMNS[ours]
    if given is not None:
        try:
            slope, intercept = linear(given, column.unit)
            return slope * column.scale, intercept * column.scale
        except UnitError:
            pass
    raise _changed(host, f"'{name}': unknown unit {uom!r:.40}")


def _properties(answer: Answer, host: str) -> dict[str, Any]:
    found = read_json(answer)
    properties = found.get("properties") if isinstance(found, dict) else None
    if not isinstance(properties, dict):
        raise _changed(host, "'properties'")
    return properties


def _changed(host: str, where: str) -> FetchFailed:
    return FetchFailed(f"{host}: the answer has another form than it had, at {where}")
