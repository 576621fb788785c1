"""Where weather may be fetched: the section `weather_source` of site.yaml."""

from __future__ import annotations

from typing import Literal

from advisor.base.record import Record

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
