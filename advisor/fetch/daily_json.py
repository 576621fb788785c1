"""A daily source of the keeper's choice that answers in JSON: lists of values beside one of dates.

Which one, its terms, its addresses and its fields stand in site.yaml; nothing is asked before the
keeper has accepted the terms there.
"""

from __future__ import annotations

import datetime as dt
from typing import Any
from urllib.parse import quote

import numpy as np

from advisor.base.dates import now_utc
from advisor.base.units import UnitError
from advisor.fetch.batch import Batch, table_of
from advisor.fetch.body import as_number, read_json
from advisor.fetch.client import Client
from advisor.fetch.failure import FetchFailed
from advisor.records.sections import DailyJson, JsonField
from advisor.weather.columns import COLUMNS
from advisor.weather.headers import linear
from advisor.weather.table import Values


def fetch_daily_json(
    client: Client,
    source: DailyJson,
    template: str,
    places: dict[str, str],
    attribution: str,
    *,
    limits: tuple[dt.date, dt.date],
    issued: bool,
) -> Batch:
    """Days within `limits` from an address with `{latitude}`, `{from}` and so on filled in.

    issued: whether this is a forecast; it then counts as made now, for it does not say when.

    Raises `FetchFailed`.
    """
    address = template.format(**{key: quote(value, safe="") for key, value in places.items()})
    answer = client.get(address)
    data = read_json(answer)
    days = _days(data, source.days, answer.host)
    columns = {
        name: _column(data, field, name, len(days), answer.host)
        for name, field in source.named().items()
    }
    inside = np.array([limits[0] <= day <= limits[1] for day in days], dtype=bool)
    kept = [day for day in days if limits[0] <= day <= limits[1]]
    columns = {name: values[inside] for name, values in columns.items()}
    if not kept:
        raise FetchFailed(f"{answer.host}: the answer has no day from {limits[0]} to {limits[1]}")
    height = source.wind_height or 10.0
    table = table_of(kept, columns, attribution, answer.host, height)
    made = now_utc().replace(microsecond=0) if issued else None
    return Batch(table, address, made, answer.fresh_seconds)


def _days(data: Any, path: str, host: str) -> list[dt.date]:
    found = _at(data, path, host)
    if not isinstance(found, list):
        raise FetchFailed(f"{host}: '{path}' is no list of dates")
    days = []
    for item in found:
        try:
            days.append(dt.date.fromisoformat(item))
        except (TypeError, ValueError):
            raise FetchFailed(f"{host}: '{path}' holds {item!r:.40}, which is no date") from None
    return days


def _column(data: Any, field: JsonField, name: str, count: int, host: str) -> Values:
    listed = _at(data, field.field, host)
    if not isinstance(listed, list) or len(listed) != count:
        found = f"{len(listed)} values" if isinstance(listed, list) else "no list"
        raise FetchFailed(f"{host}: '{field.field}' has {found}, but there are {count} dates")
    if field.unit_at is not None:
        _check_unit(_at(data, field.unit_at, host), field, name, host)
    column = COLUMNS[name]
    slope, intercept = linear(field.unit, column.unit)
    values = np.full(count, np.nan)
    for at, item in enumerate(listed):
        if item is None:
            continue
        number = as_number(item)
        if number is None:
            raise FetchFailed(f"{host}: '{field.field}' holds {item!r:.40}, which is no number")
        values[at] = (number * slope + intercept) * column.scale
    return values


def _check_unit(said: Any, field: JsonField, name: str, host: str) -> None:
    unit = COLUMNS[name].unit
    try:
        same = linear(str(said), unit) == linear(field.unit, unit)
    except UnitError:
        same = False
    if not same:
        what = f"'{field.field}' is now in '{said}'; site.yaml says '{field.unit}'"
        raise FetchFailed(f"{host}: {what}")


def _at(data: Any, path: str, host: str) -> Any:
    found = data
    for part in path.split("."):
        if not isinstance(found, dict) or part not in found:
            raise FetchFailed(f"{host}: the answer has no '{path}', which site.yaml names")
        found = found[part]
    return found
