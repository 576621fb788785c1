"""Where weather may be fetched: the section `weather_source` of site.yaml."""

from __future__ import annotations

import re
from string import Formatter
from typing import Annotated, Literal
from urllib.parse import urlsplit

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from advisor.base.checked_model import FileModel
from advisor.base.units import UnitError, parse_quantity
from advisor.site.quantity import quantity
from advisor.site.words import as_flag, as_name

_BLANKS = ("latitude", "longitude", "time_zone", "from", "to")
_UNITS = {
    "air_max": ("air_max_c", "°C"), "air_min": ("air_min_c", "°C"), "rain": ("rain_mm", "mm"),
    "radiation": ("radiation_mj", "MJ/m2"), "humidity": ("humidity_pct", "share"),
    "wind": ("wind_m_s", "m/s"),
}  # fmt: skip
_LOCAL = re.compile(r"(?:localhost|127\.0\.0\.1|\[::1\])(?::[0-9]+)?\Z")


def _address(given: str) -> str:
    try:
        blanks = {name for _, name, _, _ in Formatter().parse(given) if name is not None}
    except ValueError:
        raise ValueError(f"'{given}' has a brace without its partner") from None
    unknown = sorted(blanks - set(_BLANKS))
    if unknown:
        known = ", ".join(f"{{{name}}}" for name in _BLANKS)
        raise ValueError(f"'{{{unknown[0]}}}' cannot be filled in; known: {known}")
    missing = sorted({"latitude", "longitude"} - blanks)
    if missing:
        raise ValueError(f"the address has no {{{missing[0]}}}; it must say for which place")
    parts = urlsplit(given)
    if parts.scheme != "https" and not (parts.scheme == "http" and _LOCAL.match(parts.netloc)):
        raise ValueError(f"'{given}' must begin with https://")
    return given


def _past(given: str) -> str:
    missing = [name for name in ("from", "to") if f"{{{name}}}" not in given]
    if missing:
        raise ValueError(f"the address of the history has no {{{missing[0]}}}")
    return given


Text = Annotated[str, Field(min_length=1)]
Address = Annotated[str, AfterValidator(_address)]


class JsonField(FileModel):
    """A list of values in the answer, by the keys that lead to it, `daily.rain`, and its unit.

    unit_at: where the answer says the unit; then a change of it is noticed.
    """

    field: Text
    unit: Text
    unit_at: Text | None = None


class DailyJson(FileModel):
    """Addresses and fields of a service that answers with lists of daily values.

    forecast, history: addresses with blanks for the place and the days. days: where the dates are.
    """

    days: Text
    air_max: JsonField
    air_min: JsonField
    forecast: Address | None = None
    history: Annotated[Address, AfterValidator(_past)] | None = None
    rain: JsonField | None = None
    radiation: JsonField | None = None
    humidity: JsonField | None = None
    wind: JsonField | None = None
    wind_height: Annotated[float, quantity("m", 0.5, 100)] | None = None

    @model_validator(mode="after")
    def _usable(self) -> DailyJson:
        if self.forecast is None and self.history is None:
            raise ValueError("give the address of a forecast, of a history, or both")
        for key, (_, unit) in _UNITS.items():
            field: JsonField | None = getattr(self, key)
            if field is None:
                continue
            try:
                parse_quantity(f"0 {field.unit}", unit)
            except UnitError as error:
                raise ValueError(f"{key}: {error}") from None
        return self

    def named(self) -> dict[str, JsonField]:
        """Columns of the weather record with their fields."""
        fields = ((name, getattr(self, key)) for key, (name, _) in _UNITS.items())
        return {name: field for name, field in fields if field is not None}


class WeatherSource(FileModel):
    """A built-in source of the United States, `us`, or one that the keeper describes.

    station: of the history, for `us`. The keeper's own source needs what it asks its users to be
    told, `attribution` and `terms`, and that the keeper accepts the terms.
    """

    kind: Annotated[Literal["us", "daily_json"], BeforeValidator(as_name)]
    station: Text | None = None
    attribution: Text | None = None
    terms: Text | None = None
    accept_terms: Annotated[bool, BeforeValidator(as_flag)] = False
    answers: DailyJson | None = None

    @model_validator(mode="after")
    def _fits_its_kind(self) -> WeatherSource:
        if self.kind == "us":
            foreign = next(
                (k for k in ("attribution", "terms", "answers") if getattr(self, k)), None
            )
            if foreign:
                raise ValueError(f"'{foreign}' belongs to kind daily_json, not to us")
            return self
        if self.station is not None:
            raise ValueError("'station' belongs to kind us; write the place into the addresses")
        for key in ("attribution", "terms", "answers"):
            if getattr(self, key) is None:
                raise ValueError(f"kind daily_json needs '{key}'")
        if not self.accept_terms:
            raise ValueError(
                "read the terms of the service; if you keep to them, write 'accept_terms: yes'"
            )
        return self
