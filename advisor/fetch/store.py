"""Keeping what was fetched: written beside, read back, only then put in the place of the old."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from pathlib import Path

import numpy as np

from advisor.base.files import whole_file
from advisor.base.problems import BadInput, Place
from advisor.fetch.failure import unusable
from advisor.weather.kept_weather import EXPIRES, FETCHED, ISSUED, read_fetched
from advisor.weather.table import WeatherTable

#: Column → heading of our own CSV; what has no heading there is not kept.
_HEADINGS = {
    "air_max_c": "max temp (C)", "air_min_c": "min temp (C)", "rain_mm": "rain (mm)",
    "radiation_mj": "radiation (MJ/m2)", "humidity_pct": "humidity (%)",
    "humidity_max_pct": "max humidity (%)", "humidity_min_pct": "min humidity (%)",
    "dew_point_c": "dew point (C)", "wind_m_s": "wind (m/s)", "soil_10cm_c": "soil 10 cm (C)",
    "soil_5cm_c": "soil 5 cm (C)", "snow_depth_mm": "snow depth (mm)",
}  # fmt: skip


def keep(path: Path, table: WeatherTable, details: Mapping[str, str]) -> None:
    """Write a fetched record with its provenance in place of the old one, whole or not at all.

    Raises `FetchFailed` if the values cannot be true, `BadInput` if the file cannot be written.
    """
    text = to_text(table, details)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        what = f"cannot be written: {error.strerror or error}"
        raise BadInput.at(Place(str(path)), what) from None
    with whole_file(path, own=True) as file:
        file.write(text.encode())
        file.flush()
        try:
            read_fetched(Path(file.name))
        except BadInput as error:
            raise unusable(table.source.file, error) from None


def to_text(table: WeatherTable, details: Mapping[str, str]) -> str:
    """The record as our own CSV; days of which nothing is known are left out."""
    attribution = " ".join(table.source.attribution.split())
    comments = [attribution, *(f"{key}: {value}" for key, value in details.items())]
    names = [
        name
        for name in _HEADINGS
        if name in table.columns
        and (name in ("air_max_c", "air_min_c") or not np.isnan(table.columns[name]).all())
    ]
    headings = [_HEADINGS[name] for name in names]
    if "wind_m_s" in names:
        height = f"wind at {table.wind_height_m:g} m (m/s)"
        headings[names.index("wind_m_s")] = height
    lines = [f"# {' '.join(comment.split())}" for comment in comments]
    lines.append(",".join(["date", *headings]))
    rows = np.column_stack([table.columns[name] for name in names])
    for day, row in zip(table.days.astype(str).tolist(), rows.tolist(), strict=True):
        if any(value == value for value in row):
            lines.append(",".join([day, *("" if v != v else f"{v:.10g}" for v in row)]))
    return "\n".join(lines) + "\n"


def when(
    fetched: dt.datetime, fresh_seconds: int, issued: dt.datetime | None = None
) -> dict[str, str]:
    """The details that say how old the data are and until when they are good."""
    expires = fetched + dt.timedelta(seconds=fresh_seconds)
    times = {FETCHED: fetched, EXPIRES: expires} | ({ISSUED: issued} if issued else {})
    return {key: time.isoformat(timespec="seconds") for key, time in times.items()}
