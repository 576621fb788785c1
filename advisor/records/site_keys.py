"""What site.yaml may say and how it is written; `record.py` says what each key means."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, BeforeValidator, Field

from advisor.base.checked_model import FileModel, Listed
from advisor.base.problems import did_you_mean
from advisor.base.units import System
from advisor.base.vocabularies import Climate, Slope, Sun, Texture
from advisor.places.regions import currencies
from advisor.records.key_forms import LISTING, Days, Flag, Machine
from advisor.records.limit_keys import LimitsKeys
from advisor.records.quantity import (
    Hours,
    Metres,
    Millimetres,
    MillimetresPerHour,
    Share,
    SquareMetres,
)
from advisor.records.record import Weekday
from advisor.records.supply_keys import SuppliesKeys
from advisor.records.weather_column_keys import WeatherColumnsKeys
from advisor.records.weather_source_keys import WeatherSourceKeys
from advisor.records.words import as_name


def _or_empty(given: Any) -> Any:
    """A section whose keys are all commented out is an empty one."""
    return {} if given is None else given


def _have(given: Any) -> Any:
    word = as_name(given)
    return "hired" if word == "rented" else word


def _on_one_line(given: Any) -> Any:
    if isinstance(given, str) and ("\n" in given or "\t" in given):
        raise ValueError("holds a line break or a tab; write it on one line")
    return given


def _named(given: Any) -> Any:
    name = as_name(given)
    if name == "" != given:
        raise ValueError(f"'{given}' is no name; wanted letters or digits in it")
    return name


Text = Annotated[str, Field(min_length=1), BeforeValidator(_on_one_line)]
Name = Annotated[str, Field(min_length=1), BeforeValidator(_named)]


def _clock(given: Any) -> dt.time:
    try:
        return dt.time.fromisoformat(str(given))
    except ValueError:
        raise ValueError(f"'{given}' is no time of day; write 08:30") from None


ISODay = Annotated[dt.date, AfterValidator(dt.date.isoformat)]
"""A day on its way into a record, which takes its text: a test's own clock makes days of a kind of
its own."""


def _currency(given: Any) -> Any:
    code = str(given).strip().upper()
    if code not in currencies().values():
        near = did_you_mean(code, set(currencies().values()))
        raise ValueError(f"'{given}' is no currency{near}; write its three letters, such as USD")
    return code


Currency = Annotated[str, BeforeValidator(_currency)]
Clock = Annotated[dt.time, BeforeValidator(_clock)]
IN_WORDS = BeforeValidator(as_name)
SECTION = BeforeValidator(_or_empty)


class LocationKeys(FileModel):
    latitude: float
    longitude: float
    town: Text | None = None
    elevation: Metres | None = None
    time_zone: Text | None = None
    country: Text | None = None
    subdivision: Text | None = None
    county: Text | None = None


class GrassShareKeys(FileModel):
    grass: Name
    share: Share | None = None


class AreaKeys(FileModel):
    name: Name
    size: SquareMetres
    sun: Annotated[Sun, IN_WORDS] | None = None
    slope: Annotated[Slope, IN_WORDS] | None = None
    near_water: Flag | None = None
    stand: Annotated[Listed[GrassShareKeys], Field(min_length=1)] | None = None


class SoilKeys(FileModel):
    texture: Annotated[Texture, IN_WORDS] | None = None


class ZoneKeys(FileModel):
    name: Name
    areas: Annotated[Listed[Name], Field(min_length=1)] | None = None
    precipitation_rate: MillimetresPerHour | None = None
    uniformity: Share | None = None


class WaterKeys(FileModel):
    irrigated: Flag | None = None
    can_water_seed: Flag | None = None
    restrictions_checked: ISODay | None = None
    zones: Annotated[Listed[ZoneKeys], LISTING] = ()
    price: float | None = Field(default=None, ge=0)


class ToolKeys(FileModel):
    kind: Machine
    have: Annotated[Literal["owned", "borrowed", "hired"], BeforeValidator(_have)]
    price: float | None = Field(default=None, ge=0)
    block: Hours | None = None
    width: Millimetres | None = None
    first_time: Flag = False
    cancel_by: Clock | None = None


class PeopleKeys(FileModel):
    number: int | None = Field(default=None, ge=1, le=100)
    hours_per_day: Hours | None = None
    free_days: Listed[Annotated[Weekday, IN_WORDS]] | None = None
    work_from: Clock | None = None
    work_until: Clock | None = None
    holidays_free: Flag = True
    bridge_days: Flag = False
    days_off: Annotated[Listed[Days], LISTING] = ()
    blocked: Annotated[Listed[Days], LISTING] = ()


class SiteKeys(FileModel):
    format: Literal[1]
    name: Text
    place: LocationKeys
    stand: Annotated[Listed[GrassShareKeys], Field(min_length=1)]
    areas: Annotated[Listed[AreaKeys], Field(min_length=1)]
    units: System | None = None
    climate: Annotated[Climate, IN_WORDS] | None = None
    weather_units: Annotated[Literal["standard", "metric", "tenths"], IN_WORDS] | None = None
    weather_columns: WeatherColumnsKeys | None = None
    weather_source: WeatherSourceKeys | None = None
    contact: Text | None = None
    sowing: Name | None = None
    sown_on: ISODay | None = None
    currency: Currency | None = None
    soil: Annotated[SoilKeys, SECTION] = Field(default_factory=SoilKeys)
    water: Annotated[WaterKeys, SECTION] = Field(default_factory=WaterKeys)
    tools: Annotated[Listed[ToolKeys], LISTING] = ()
    people: Annotated[PeopleKeys, SECTION] = Field(default_factory=PeopleKeys)
    limits: Annotated[LimitsKeys, SECTION] = Field(default_factory=LimitsKeys)
    supplies: Annotated[SuppliesKeys, SECTION] = Field(default_factory=SuppliesKeys)
