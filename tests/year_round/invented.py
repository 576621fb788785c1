"""Eight invented climates, for what real records do not reach; the keeper's facts as in grid.py."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from grid import busy_keeper, keeper_facts, wished_for

from advisor.cases.parts import grass_of_lawn
from advisor.demo.invent import Climate, invented_days
from advisor.facts.axis import Axis, build_axis
from advisor.facts.day import Day, assemble_day
from advisor.facts.fact import Fact, LazyMap, Value
from advisor.records.check_site import as_record
from advisor.records.journal import Journal
from advisor.records.record import Site
from advisor.records.site_keys import SiteKeys
from advisor.rulebook.model import Example, RuleBook
from advisor.weather.table import Source, WeatherTable

FIRST, LAST = dt.date(2015, 1, 1), dt.date(2021, 12, 31)
__all__ = ["CLIMATES", "Place", "axis_on", "busy_keeper", "day_on", "keeper_facts", "wished_for"]


@dataclass(frozen=True)
class Place:
    """climate: of demo/invent.py. arid: whether the site file says so. swing:
    °C by which its days are warmer and its nights colder than the invented ones."""

    name: str
    latitude: float
    elevation: float
    country: str
    climate: Climate
    arid: bool = False
    swing: float = 0.0


CLIMATES = (
    Place("cold plains", 46.0, 300, "US", Climate(-12, 33, unrest=1.1)),
    Place("high valley", 37.5, 2300, "US", Climate(-8, 25, unrest=0.8, wet=0.1), True, 8.0),
    Place("middle west", 40.0, 250, "US", Climate(-3, 27)),
    Place("mild coast", 52.5, 20, "GB", Climate(4.0, 13.5, unrest=0.7, wet=0.45)),
    Place("warm south", 34.5, 250, "US", Climate(6.0, 21)),
    Place("desert", 33.0, 300, "US", Climate(11.0, 23, unrest=0.5, wet=0.04), arid=True),
    Place("mild south of the equator", -43.5, 20, "NZ", Climate(6.0, 11, 20, unrest=0.7)),
    Place("tropics", 1.3, 20, "SG", Climate(26.5, 1.5, unrest=0.2, wet=0.5)),
)


@cache
def weather_of(place: Place) -> WeatherTable:
    rows = list(invented_days(FIRST, LAST, 7, place.climate))
    columns = {
        name: np.array([getattr(row, name) for row in rows], dtype=np.float64)
        for name in ("air_max_c", "air_min_c", "rain_mm")
    }
    columns["air_max_c"] += place.swing
    columns["air_min_c"] -= place.swing
    days = np.array([row.date for row in rows], dtype="datetime64[D]")
    return WeatherTable(days, columns, Source("invented", "own file", "invented"))


@cache
def axis_on(place: Place, on: dt.date) -> Axis:
    found = build_axis(weather_of(place), None, on, place.latitude)
    assert found is not None
    return found


def site_at(place: Place, grass: str) -> Site:
    return as_record(SiteKeys.model_validate(
        {
            "format": 1, "name": place.name, "climate": "arid" if place.arid else "humid",
            "place": {
                "latitude": place.latitude, "longitude": 0.0,
                "elevation": f"{place.elevation} m", "country": place.country,
            },
            "stand": [{"grass": grass}],
            "areas": [{"name": "lawn", "size": "300 m2", "sun": "full", "slope": "flat"}],
            "sown_on": dt.date(2005, 9, 1), "soil": {"texture": "silt_loam"},
            "water": {"irrigated": "yes", "can_water_seed": "yes"},
        }
    ), Site)  # fmt: skip


def day_on(
    book: RuleBook, place: Place, grass: str, on: dt.date, known: Mapping[str, Value | None]
) -> Day:
    """The facts of a day at a place, with what the keeper knows laid over them."""
    made = grass_of_lawn(book.grasses[grass], book)
    axis = axis_on(place, on)
    day = assemble_day(site_at(place, grass), Journal(()), axis, made, book.vocabulary, on)
    over = {name: Fact(name, value, "recorded", on) for name, value in known.items()}
    rest = {name: (lambda name=name: day.facts[name]) for name in day.facts if name not in over}
    return Day(on, None, grass, LazyMap(over, rest), day.weather, day.law)


def known_for(book: RuleBook, operation: str, grass: str) -> dict[str, Value | None] | None:
    """What the keeper of a suitable lawn would know; None where no example is for its season."""
    example: Example | None = wished_for(book.operations[operation], book, grass)
    if example is None:
        return None
    traits = book.grasses[grass].traits
    return {n: v for n, v in keeper_facts(book, example).items() if n not in traits}
