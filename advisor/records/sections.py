"""Sections of site.yaml: bags and quotes, where weather is fetched, how a weather CSV is read.

Bags: weights in kg, volumes in L, shares from 0 to 1, money the keeper's own. Everything may be
left out; amounts are then told by weight, without bags and money.
"""

from __future__ import annotations

import datetime as dt
from typing import Literal

from advisor.base.record import Record


class SeedPart(Record, frozen=True, kw_only=True):
    """One grass of a mixture: its share of the bag by weight (`purity`) and its germination."""

    grass: str
    purity: float
    germination: float


class SeedBag(Record, frozen=True, kw_only=True):
    """A bag of seed and its label. Either one grass, or `parts` for a mixture."""

    grass: str | None = None
    purity: float | None = None
    germination: float | None = None
    parts: tuple[SeedPart, ...] = ()
    weed_seed: float | None = None
    other_crop: float | None = None
    inert: float | None = None
    tested: dt.date | None = None
    bag: float | None = None
    price: float | None = None

    @property
    def grasses(self) -> tuple[str, ...]:
        """What the bag holds."""
        return tuple(p.grass for p in self.parts) or ((self.grass,) if self.grass else ())


class FertiliserBag(Record, frozen=True, kw_only=True):
    """analysis: per cent of N, P and K as printed. slow: share of the nitrogen released slowly.

    numbers: whether P and K are printed as P2O5 and K2O (oxide) or as elements; left out, the habit
    of the country counts.
    """

    analysis: tuple[float, float, float]
    numbers: Literal["oxide", "elemental"] | None = None
    slow: float | None = None
    bag: float | None = None
    price: float | None = None


class LimeBag(Record, frozen=True, kw_only=True):
    """equivalent: calcium carbonate equivalent, 1 for pure lime."""

    equivalent: float | None = None
    bag: float | None = None
    price: float | None = None


class Topdressing(Record, frozen=True, kw_only=True):
    """Sold by the bag, or loose by a least volume (`bulk`); the price is for one of them."""

    material: Literal["soil", "compost", "sand"] | None = None
    bag: float | None = None
    bulk: float | None = None
    price: float | None = None


class Quote(Record, frozen=True, kw_only=True):
    """What somebody asks to do a job on the whole lawn."""

    operation: str
    price: float


class Supplies(Record, frozen=True, kw_only=True):
    """What is in the shed or on the list."""

    seed: tuple[SeedBag, ...] = ()
    fertiliser: tuple[FertiliserBag, ...] = ()
    lime: LimeBag | None = None
    topdressing: Topdressing | None = None
    quotes: tuple[Quote, ...] = ()


UNIT_OF = {
    "air_max": ("air_max_c", "°C"), "air_min": ("air_min_c", "°C"), "rain": ("rain_mm", "mm"),
    "radiation": ("radiation_mj", "MJ/m2"), "humidity": ("humidity_pct", "share"),
    "wind": ("wind_m_s", "m/s"),
}  # fmt: skip
"""Keys with the columns of the weather record that they fill, and a unit of theirs."""


class JsonField(Record, frozen=True, kw_only=True):
    """A list of values in the answer, by the keys that lead to it, `daily.rain`, and its unit.

    unit_at: where the answer says the unit; then a change of it is noticed.
    """

    field: str
    unit: str
    unit_at: str | None = None


class DailyJson(Record, frozen=True, kw_only=True):
    """Addresses and fields of a service that answers with lists of daily values.

    forecast, history: addresses with blanks for the place and the days. days: where the dates are.
    """

    days: str
    air_max: JsonField
    air_min: JsonField
    forecast: str | None = None
    history: str | None = None
    rain: JsonField | None = None
    radiation: JsonField | None = None
    humidity: JsonField | None = None
    wind: JsonField | None = None
    wind_height: float | None = None

    def named(self) -> dict[str, JsonField]:
        """Columns of the weather record with their fields."""
        fields = ((name, getattr(self, key)) for key, (name, _) in UNIT_OF.items())
        return {name: field for name, field in fields if field is not None}


class WeatherSource(Record, frozen=True, kw_only=True):
    """A built-in source of the United States, `us`, or one that the keeper describes.

    station: of the history, for `us`. The keeper's own source needs what it asks its users to be
    told, `attribution` and `terms`, and that the keeper accepts the terms.
    """

    kind: Literal["us", "daily_json"]
    station: str | None = None
    attribution: str | None = None
    terms: str | None = None
    accept_terms: bool = False
    answers: DailyJson | None = None


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
