"""What site.yaml says: one lawn, its place, grasses, areas, water, tools and people.

Every quantity is a float in its canonical unit (m, m², mm, mm/h, h, shares 0 to 1). What the keeper
left out is None: unknown, never guessed. How the file is written is told in `site_keys.py`.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from typing import Any, Literal

import msgspec

from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.base.units import System
from advisor.base.vocabularies import Climate, Slope, Sun, Texture, ToolKind
from advisor.places.regions import currencies
from advisor.records.limits import Limits
from advisor.records.sections import Supplies, WeatherColumns, WeatherSource
from advisor.records.words import UNKNOWN_GRASS

MOST_DAYS = 366
_WANTED = "wanted a date such as 2026-08-03, or '2026-08-03 to 2026-08-14'"

DaySpan = tuple[dt.date, dt.date]


def read_span(given: Any) -> DaySpan:
    """First and last day. Raises `ValueError` with what is wanted instead."""
    if isinstance(given, dt.date):
        return given, given
    ends = str(given).split(" to ") if isinstance(given, str) else []
    try:
        first, last = (dt.date.fromisoformat(end.strip()) for end in ends)
    except ValueError:
        raise ValueError(f"'{given}' names no days; {_WANTED}") from None
    if not 0 <= (last - first).days < MOST_DAYS:
        raise ValueError(f"'{given}' must run forwards and for less than a year")
    return first, last


def days_of(spans: tuple[DaySpan, ...]) -> frozenset[dt.date]:
    """Every day of the spans."""
    return frozenset(
        first + ahead * ONE_DAY for first, last in spans for ahead in range((last - first).days + 1)
    )


Weekday = Literal["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]


class Location(Record, frozen=True, kw_only=True):
    """Where the lawn lies. Degrees north and east, elevation in m, an IANA time zone.

    That they agree with each other is checked in `place_checks`.
    """

    latitude: float
    longitude: float
    town: str | None = None
    elevation: float | None = None
    time_zone: str | None = None
    country: str | None = None
    subdivision: str | None = None
    county: str | None = None


class GrassShare(Record, frozen=True, kw_only=True):
    """One grass and its share of the stand, 0 to 1. `dont_know` is a grass too."""

    grass: str
    share: float | None = None


class Area(Record, frozen=True, kw_only=True):
    """A part of the lawn. Size in m²; its own stand if it differs from the site's.

    A site file has to give the size. A reader of the mailing may not: then it is None.
    """

    name: str
    size: float | None
    sun: Sun | None = None
    slope: Slope | None = None
    near_water: bool | None = None
    stand: tuple[GrassShare, ...] | None = None


class Soil(Record, frozen=True, kw_only=True):
    """What the lawn grows in."""

    texture: Texture | None = None


class Zone(Record, frozen=True, kw_only=True):
    """An irrigation zone and what it puts down, mm/h; uniformity: of its lowest quarter."""

    name: str
    areas: tuple[str, ...] | None = None
    precipitation_rate: float | None = None
    uniformity: float | None = None


class Water(Record, frozen=True, kw_only=True):
    """can_water_seed: someone can water two or three times a day for three weeks, legally.

    restrictions_checked: the day the keeper last looked up the local watering rules. price: of
    1,000 gallons on a site in US units, else of a cubic metre, in the keeper's money.
    """

    irrigated: bool | None = None
    can_water_seed: bool | None = None
    restrictions_checked: dt.date | None = None
    zones: tuple[Zone, ...] = ()
    price: float | None = None


class Tool(Record, frozen=True, kw_only=True):
    """A machine and how it is to be had: hire price, block of hire in h, working width in mm.

    first_time: whoever runs it has never done so; it takes longer until a time was noted.
    cancel_by: until when on the day before the shop gives the price of a hire back.
    """

    kind: ToolKind
    have: Literal["owned", "borrowed", "hired"]
    price: float | None = None
    block: float | None = None
    width: float | None = None
    first_time: bool = False
    cancel_by: dt.time | None = None


class People(Record, frozen=True, kw_only=True):
    """Who works, and when they are free.

    free_days: of an ordinary week. work_from, work_until: when machines may be heard.
    holidays_free: whether public holidays are free too. bridge_days: whether one working day
    between free days may be taken off. days_off, blocked: first and last days; blocked days are
    never free.
    """

    number: int | None = None
    hours_per_day: float | None = None
    free_days: tuple[Weekday, ...] | None = None
    work_from: dt.time | None = None
    work_until: dt.time | None = None
    holidays_free: bool = True
    bridge_days: bool = False
    days_off: tuple[DaySpan, ...] = ()
    blocked: tuple[DaySpan, ...] = ()


class Site(Record, frozen=True, kw_only=True):
    """One lawn at one place."""

    name: str
    place: Location
    stand: tuple[GrassShare, ...]
    areas: tuple[Area, ...]
    format: Literal[1] = 1
    units: System | None = None
    climate: Climate | None = None
    weather_units: Literal["standard", "metric", "tenths"] | None = None
    weather_columns: WeatherColumns | None = None
    weather_source: WeatherSource | None = None
    contact: str | None = None
    sowing: str | None = None
    sown_on: dt.date | None = None
    currency: str | None = None
    soil: Soil = msgspec.field(default_factory=Soil)
    water: Water = msgspec.field(default_factory=Water)
    tools: tuple[Tool, ...] = ()
    people: People = msgspec.field(default_factory=People)
    limits: Limits = msgspec.field(default_factory=Limits)
    supplies: Supplies = msgspec.field(default_factory=Supplies)

    @property
    def unit_system(self) -> System:
        """The units to show: as asked for, else US units in the United States."""
        if self.units:
            return self.units
        return "us" if self.place.country == "US" else "metric"

    @property
    def money(self) -> str:
        """The code of the money that prices are in; empty where neither is said."""
        return self.currency or currencies().get(self.place.country or "", "")

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
