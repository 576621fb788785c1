"""The columns of a daily weather record, and how a keeper describes a CSV of another make."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Protocol

from advisor.base.record import Record


class Column(Record, frozen=True):
    """One daily quantity.

    `unit` is the unit of `advisor.base.units` that a file may convert from, `scale` turns that
    canonical value into this column's own (percent instead of share). `low` and `high` are the
    most extreme values accepted, in the column's own unit; `evidence` says where they come from.
    """

    name: str
    label: str
    unit: str
    example: str
    low: float
    high: float
    evidence: str
    scale: float = 1.0
    temperature: bool = False


_HEAT = "world records 56.7 °C and −89.2 °C, WMO archive of weather extremes"
_PERCENT = "by definition"
_SOIL = "wider than the air's records; chosen by us"

_ALL = (
    Column("air_max_c", "daily maximum temperature", "°C", "max temp (F)",
           -89.2, 56.7, _HEAT, temperature=True),
    Column("air_min_c", "daily minimum temperature", "°C", "min temp (F)",
           -89.2, 56.7, _HEAT, temperature=True),
    Column("rain_mm", "rain", "mm", "rain (in)",
           0.0, 1825.0, "world record of 24 hours 1,825 mm, WMO archive of weather extremes"),
    Column("radiation_mj", "solar radiation", "MJ/m2", "radiation (MJ/m2)",
           0.0, 48.4, "most that reaches the top of the air in a day: pole, midsummer"),
    Column("humidity_pct", "mean relative humidity", "share", "humidity (%)",
           0.0, 100.0, _PERCENT, scale=100.0),
    Column("humidity_max_pct", "highest relative humidity", "share", "max humidity (%)",
           0.0, 100.0, _PERCENT, scale=100.0),
    Column("humidity_min_pct", "lowest relative humidity", "share", "min humidity (%)",
           0.0, 100.0, _PERCENT, scale=100.0),
    Column("dew_point_c", "dew point", "°C", "dew point (F)",
           -100.0, 36.0, "highest on record about 35 °C, from memory", temperature=True),
    Column("wind_m_s", "mean wind speed", "m/s", "wind (mph)",
           0.0, 113.2, "world record gust 113.2 m/s, WMO archive of weather extremes"),
    Column("soil_10cm_c", "soil temperature at 10 cm", "°C", "soil 10 cm (F)",
           -60.0, 60.0, _SOIL, temperature=True),
    Column("soil_5cm_c", "soil temperature at 5 cm", "°C", "soil 5 cm (F)",
           -60.0, 70.0, _SOIL, temperature=True),
    Column("soil_water_10cm_pct", "water content of the soil by volume at 10 cm", "share",
           "soil water 10 cm (%)", 0.0, 100.0, _PERCENT, scale=100.0),
    Column("soil_water_5cm_pct", "water content of the soil by volume at 5 cm", "share",
           "soil water 5 cm (%)", 0.0, 100.0, _PERCENT, scale=100.0),
    Column("snow_depth_mm", "snow depth", "mm", "snow depth (in)",
           0.0, 11820.0, "deepest measured 11.82 m, from memory"),
)  # fmt: skip

COLUMNS: dict[str, Column] = {column.name: column for column in _ALL}

#: Present in every table, all unknown if the file has no such column.
BASIC = ("air_max_c", "air_min_c", "rain_mm")

#: Without these a file is of no use.
REQUIRED = ("air_max_c", "air_min_c")


#: Key of the hourly air temperature, which becomes the daily maximum and minimum.
HOURLY_AIR = "air_c"


class MappedColumn(Protocol):
    """The heading of a column in the file, and the unit of its values."""

    @property
    def column(self) -> str: ...

    @property
    def unit(self) -> str: ...


class ColumnMapping(Protocol):
    """What `weather_columns` in site.yaml says.

    date and time: headings; where there is a time, both cells are joined by a blank and read by
    `date_format`, a pattern of `strftime`. skip_rows: lines above the header. missing: cells that
    mean unknown, beyond the usual ones. wind_height: of the gauge, in m.
    """

    @property
    def date(self) -> str: ...

    @property
    def time(self) -> str | None: ...

    @property
    def date_format(self) -> str: ...

    @property
    def separator(self) -> str: ...

    @property
    def decimal(self) -> str: ...

    @property
    def skip_rows(self) -> int: ...

    @property
    def missing(self) -> Sequence[str]: ...

    @property
    def hourly(self) -> bool: ...

    @property
    def wind_height(self) -> float | None: ...

    def named(self) -> Mapping[str, MappedColumn]:
        """Names of `columns.COLUMNS` (and `HOURLY_AIR`) with the columns that hold them."""
