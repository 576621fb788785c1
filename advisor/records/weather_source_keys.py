"""How the section `weather_source` of site.yaml is written; `weather_source.py` tells the rest."""

from __future__ import annotations

import re
from string import Formatter
from typing import Annotated, Literal
from urllib.parse import urlsplit

from pydantic import AfterValidator, BeforeValidator, Field, model_validator

from advisor.base.checked_model import FileModel
from advisor.base.units import UnitError, parse_quantity
from advisor.records.quantity import quantity
from advisor.records.sections import UNIT_OF
from advisor.records.words import as_flag, as_name

_BLANKS = ("latitude", "longitude", "time_zone", "from", "to")
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


class JsonFieldKeys(FileModel):
    field: Text
    unit: Text
    unit_at: Text | None = None


class DailyJsonKeys(FileModel):
    days: Text
    air_max: JsonFieldKeys
    air_min: JsonFieldKeys
    forecast: Address | None = None
    history: Annotated[Address, AfterValidator(_past)] | None = None
    rain: JsonFieldKeys | None = None
    radiation: JsonFieldKeys | None = None
    humidity: JsonFieldKeys | None = None
    wind: JsonFieldKeys | None = None
    wind_height: Annotated[float, quantity("m", 0.5, 100)] | None = None

    @model_validator(mode="after")
    def _usable(self) -> DailyJsonKeys:
        if self.forecast is None and self.history is None:
            raise ValueError("give the address of a forecast, of a history, or both")
        for key, (_, unit) in UNIT_OF.items():
            field: JsonFieldKeys | None = getattr(self, key)
            if field is None:
                continue
            try:
                parse_quantity(f"0 {field.unit}", unit)
            except UnitError as error:
                raise ValueError(f"{key}: {error}") from None
        return self


class WeatherSourceKeys(FileModel):
    kind: Annotated[Literal["us", "daily_json"], BeforeValidator(as_name)]
    station: Text | None = None
    attribution: Text | None = None
    terms: Text | None = None
    accept_terms: Annotated[bool, BeforeValidator(as_flag)] = False
    answers: DailyJsonKeys | None = None

    @model_validator(mode="after")
    def _fits_its_kind(self) -> WeatherSourceKeys:
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
