"""Weather records as they were read last, so that thirty years of days are parsed but once.

A table is kept as plain arrays, under all that it was made of: the bytes of its files, their names
in messages, how they are to be read, and the code of the readers. What could not be read is not
kept, so a fault in a file is found each time.
"""

from __future__ import annotations

import datetime as dt
import io
import json
from pathlib import Path
from typing import Any

import numpy as np

from advisor.base.dates import today
from advisor.base.json_text import from_json
from advisor.base.keyed import code_of, keep_keyed, key_of, read_keyed
from advisor.base.paths import real_path
from advisor.base.problems import BadInput
from advisor.base.record import asdict
from advisor.weather.column_mapping import ColumnMapping
from advisor.weather.ncei_units import NceiUnits
from advisor.weather.record_path import weather_files
from advisor.weather.table import Source, WeatherTable

_CODE = ("weather", "base/units.py")
_LARGEST_BYTES = 50_000_000
"""A record of a hundred years has a tenth; what is larger is read as if nothing were kept."""


def read_kept_weather(
    path: Path,
    units: NceiUnits | None = None,
    day: dt.date | None = None,
    columns: ColumnMapping | None = None,
) -> WeatherTable:
    """As `read_weather` reads it, or as it did before. Raises `BadInput` like it.

    day: the last day that can have been observed, by default the clock's.
    """
    last = day or today()
    name = f"weather-{key_of(str(real_path(path)))[:16]}"
    key = _key(path, units, columns)
    found = _kept(name, key) if key else None
    # A record that goes on after today has rows to refuse.
    if found is not None and found.end <= last:
        return found
    from advisor.weather.read_weather import read_weather

    table = read_weather(path, units, last, columns=columns)
    # Whoever writes to the file meanwhile must not have its old rows taken for the new ones.
    if key and key == _key(path, units, columns) and _is_plain(table):
        keep_keyed(name, key, _packed(table))
    return table


def _key(path: Path, units: NceiUnits | None, columns: ColumnMapping | None) -> str:
    """All that a table depends on; empty if that cannot be told, which the readers then explain."""
    try:
        files = [file for file, _ in weather_files(path, str(path))]
        if sum(file.stat().st_size for file in files) > _LARGEST_BYTES:
            return ""
        raw = [part for file in files for part in (file.name, file.read_bytes())]
    except (OSError, BadInput):
        return ""
    return key_of(code_of(*_CODE), str(path), repr(units), repr(columns), *raw)


def _is_plain(table: WeatherTable) -> bool:
    """Whether all of a table is in its days, its columns and its header."""
    filled = any(marks.any() for marks in table.filled.values())
    return not filled and table.forecast_from is None and not table.origins


def _packed(table: WeatherTable) -> bytes:
    header = {
        "first": table.first.isoformat(),
        "columns": list(table.columns),
        "source": asdict(table.source),
        "notes": table.notes,
        "wind_height_m": table.wind_height_m,
    }
    out = io.BytesIO(json.dumps(header).encode() + b"\n")
    out.seek(0, io.SEEK_END)
    np.save(out, np.stack(list(table.columns.values())), allow_pickle=False)
    return out.getvalue()


def _kept(name: str, key: str) -> WeatherTable | None:
    raw = read_keyed(name, key)
    if raw is None:
        return None
    file = io.BytesIO(raw)
    try:
        header: dict[str, Any] = from_json(file.readline())
        values = np.load(file, allow_pickle=False)
        return WeatherTable(
            days=np.datetime64(header["first"]) + np.arange(values.shape[1]),
            columns=dict(zip(header["columns"], values, strict=True)),
            source=Source(**header["source"]),
            notes=tuple(header["notes"]),
            wind_height_m=header["wind_height_m"],
        )
    except (ValueError, LookupError, TypeError, EOFError):
        return None
