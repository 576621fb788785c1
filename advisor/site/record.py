"""What site.yaml may say: one lawn, its place, grasses, areas, water, tools and people.

Every quantity is a float in its canonical unit (m, m², mm, mm/h, h, shares 0 to 1). What the keeper
left out is None: unknown, never guessed.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from advisor.base.checked_model import FileModel, Listed
from advisor.base.units import System
from advisor.base.vocabularies import Climate, Slope, Sun, Texture, ToolKind
from advisor.site.day_spans import Days
from advisor.site.quantity import (
    AreaSize,
    Hours,
    Metres,
    Millimetres,
    MillimetresPerHour,
    Share,
)
from advisor.site.supplies import Supplies
from advisor.site.weather_columns import WeatherColumns
from advisor.site.weather_source import WeatherSource
from advisor.site.words import UNKNOWN_GRASS, as_flag, as_name


def _or_empty(given: Any) -> Any:
    """A section whose keys are all commented out is an empty one."""
    return {} if given is None else given


def _or_none_listed(given: Any) -> Any:
    return [] if given is None else given


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


_TOOLS_CALLED: dict[Any, ToolKind] = {
    "aerator": "core_aerator", "power_rake": "vertical_mower", "dethatcher": "vertical_mower",
    "scarifier": "vertical_mower", "verticutter": "vertical_mower", "lawn_mower": "mower",
    "broadcast_spreader": "spreader", "drop_spreader": "spreader",
}  # fmt: skip
"""What keepers and shops call the machines besides."""


def _tool(given: Any) -> Any:
    word = as_name(given)
    return _TOOLS_CALLED.get(word, word) if isinstance(word, str) else word


Text = Annotated[str, Field(min_length=1), BeforeValidator(_on_one_line)]
Name = Annotated[str, Field(min_length=1), BeforeValidator(_named)]


def _clock(given: Any) -> dt.time:
    try:
        return dt.time.fromisoformat(str(given))
    except ValueError:
        raise ValueError(f"'{given}' is no time of day; write 08:30") from None


Clock = Annotated[dt.time, BeforeValidator(_clock)]
Flag = Annotated[bool, BeforeValidator(as_flag)]
IN_WORDS = BeforeValidator(as_name)
SECTION = BeforeValidator(_or_empty)
LISTING = BeforeValidator(_or_none_listed)
Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]


class Location(FileModel):
    """Where the lawn lies. Degrees north and east, elevation in m, an IANA time zone.

    That they agree with each other is checked in `place_checks`.
    """

    latitude: float
    longitude: float
    town: Text | None = None
    elevation: Metres | None = None
    time_zone: Text | None = None
    country: Text | None = None
    subdivision: Text | None = None
    county: Text | None = None


class GrassShare(FileModel):
    """One grass and its share of the stand, 0 to 1. `dont_know` is a grass too."""

    grass: Name
    share: Share | None = None


class Area(FileModel):
    """A part of the lawn. Size in m²; its own stand if it differs from the site's.

    A site file has to give the size. A reader of the mailing may not: then it is None.
    """

    name: Name
    size: AreaSize
    sun: Annotated[Sun, IN_WORDS] | None = None
    slope: Annotated[Slope, IN_WORDS] | None = None
    near_water: Flag | None = None
    stand: Annotated[Listed[GrassShare], Field(min_length=1)] | None = None


class Soil(FileModel):
    texture: Annotated[Texture, IN_WORDS] | None = None


class Zone(FileModel):
    """An irrigation zone and what it puts down, mm/h; uniformity: of its lowest quarter."""

    name: Name
    areas: Annotated[Listed[Name], Field(min_length=1)] | None = None
    precipitation_rate: MillimetresPerHour | None = None
    uniformity: Share | None = None


class Water(FileModel):
    """can_water_seed: someone can water two or three times a day for three weeks, legally.

    restrictions_checked: the day the keeper last looked up the local watering rules. price: of
    1,000 gallons on a site in US units, else of a cubic metre, in the keeper's money.
    """

    irrigated: Flag | None = None
    can_water_seed: Flag | None = None
    restrictions_checked: dt.date | None = None
    zones: Annotated[Listed[Zone], LISTING] = ()
    price: float | None = Field(default=None, ge=0)


class Tool(FileModel):
    """A machine and how it is to be had: hire price, block of hire in h, working width in mm."""

    kind: Annotated[ToolKind, BeforeValidator(_tool)]
    have: Annotated[Literal["owned", "borrowed", "hired"], BeforeValidator(_have)]
    price: float | None = Field(default=None, ge=0)
    block: Hours | None = None
    width: Millimetres | None = None


class People(FileModel):
    """Who works, and when they are free.

    free_days: of an ordinary week. work_from, work_until: when machines may be heard.
    holidays_free: whether public holidays are free too. bridge_days: whether one working day
    between free days may be taken off. days_off, blocked: first and last days; blocked days are
    never free.
    """

    number: int | None = Field(default=None, ge=1, le=100)
    hours_per_day: Hours | None = None
    free_days: Listed[Annotated[Weekday, IN_WORDS]] | None = None
    work_from: Clock | None = None
    work_until: Clock | None = None
    holidays_free: Flag = True
    bridge_days: Flag = False
    days_off: Annotated[Listed[Days], LISTING] = ()
    blocked: Annotated[Listed[Days], LISTING] = ()


class Site(FileModel):
    """One lawn at one place."""

    format: Literal[1]
    name: Text
    place: Location
    stand: Annotated[Listed[GrassShare], Field(min_length=1)]
    areas: Annotated[Listed[Area], Field(min_length=1)]
    units: System | None = None
    climate: Annotated[Climate, IN_WORDS] | None = None
    weather_units: Annotated[Literal["standard", "metric", "tenths"], IN_WORDS] | None = None
    weather_columns: WeatherColumns | None = None
    weather_source: WeatherSource | None = None
    contact: Text | None = None
    sowing: Name | None = None
    sown_on: dt.date | None = None
    soil: Annotated[Soil, SECTION] = Field(default_factory=Soil)
    water: Annotated[Water, SECTION] = Field(default_factory=Water)
    tools: Annotated[Listed[Tool], LISTING] = ()
    people: Annotated[People, SECTION] = Field(default_factory=People)
    supplies: Annotated[Supplies, SECTION] = Field(default_factory=Supplies)

    @property
    def unit_system(self) -> System:
        """The units to show: as asked for, else US units in the United States."""
        if self.units:
            return self.units
        return "us" if self.place.country == "US" else "metric"

    @property
    def total_area(self) -> float | None:
        """The size of all areas together, m²."""
        return self.size_of(area.name for area in self.areas)

    def size_of(self, names: Iterable[str]) -> float | None:
        """The size of some areas together, m²; None where that of one is not known."""
        sizes = [self.area(name).size for name in names]
        known = [size for size in sizes if size is not None]
        return sum(known) if len(known) == len(sizes) else None

    @property
    def area_names(self) -> frozenset[str]:
        return frozenset(area.name for area in self.areas)

    def area(self, name: str) -> Area:
        """The area of that name. Raises `KeyError`."""
        for area in self.areas:
            if area.name == name:
                return area
        raise KeyError(name)

    def stand_of(self, name: str | None = None) -> tuple[GrassShare, ...]:
        """The stand of an area (its own, else the site's), or the site's."""
        own = self.area(name).stand if name else None
        return own or self.stand

    def leading_grass(self, name: str | None = None) -> str | None:
        """The grass with the largest share (the first of equals) of an area or the site.

        None where the keeper does not know.
        """
        stand = self.stand_of(name)
        leading = max(stand, key=lambda part: part.share or 0.0).grass
        return None if leading == UNKNOWN_GRASS else leading

    @property
    def seed(self) -> str | None:
        """The grass the keeper means to sow; the leading grass unless said otherwise."""
        return self.sowing or self.leading_grass()
