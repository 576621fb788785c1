"""How a weather CSV of another make is to be read: the section `weather_columns` of site.yaml."""

from __future__ import annotations

from typing import Literal

from advisor.base.record import Record

#: Keys with the columns of the weather record that they fill; `air` is hourly.
COLUMN_OF = {
    "air": "air_c",
    "air_max": "air_max_c",
    "air_min": "air_min_c",
    "rain": "rain_mm",
    "radiation": "radiation_mj",
    "humidity": "humidity_pct",
    "humidity_max": "humidity_max_pct",
    "humidity_min": "humidity_min_pct",
    "dew_point": "dew_point_c",
    "wind": "wind_m_s",
    "soil_10cm": "soil_10cm_c",
    "soil_5cm": "soil_5cm_c",
    "snow_depth": "snow_depth_mm",
}


class MappedColumn(Record, frozen=True, kw_only=True):
    """A heading of the file and the unit of the values below it."""

    column: str
    unit: str


class WeatherColumns(Record, frozen=True, kw_only=True):
    """Headings, units and spelling of a weather CSV; hourly rows are made into days.

    date, time: headings; with a time, both cells joined by a blank are read by `date_format`, a
    pattern of `strftime`. missing: cells that mean unknown beside the usual ones. wind_height: m.
    """

    date: str
    date_format: str = "%Y-%m-%d"
    time: str | None = None
    separator: Literal[",", ";", "\t", "|"] = ","
    decimal: Literal[".", ","] = "."
    skip_rows: int = 0
    missing: tuple[str, ...] = ()
    hourly: bool = False
    wind_height: float | None = None
    air: MappedColumn | None = None
    air_max: MappedColumn | None = None
    air_min: MappedColumn | None = None
    rain: MappedColumn | None = None
    radiation: MappedColumn | None = None
    humidity: MappedColumn | None = None
    humidity_max: MappedColumn | None = None
    humidity_min: MappedColumn | None = None
    dew_point: MappedColumn | None = None
    wind: MappedColumn | None = None
    soil_10cm: MappedColumn | None = None
    soil_5cm: MappedColumn | None = None
    snow_depth: MappedColumn | None = None

    def named(self) -> dict[str, MappedColumn]:
        """Columns of the weather record (`air_c` for the hourly temperature) with their source."""
        found = {}
        for key, name in COLUMN_OF.items():
            mapped: MappedColumn | None = getattr(self, key)
            if mapped is not None:
                found[name] = mapped
        return found
