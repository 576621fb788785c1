"""Numbers of the rule files against what stands behind them."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from advisor.rulebook.conditions import Leaf, leaves
from advisor.rulebook.model import Grass, RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.signals.day_length import sunrise_to_sunset_hours

BOOK = read_rulebook(cache=False)
GRASSES = list(BOOK.grasses.values())
INCH = 25.4


def days_to_germinate(grass: Grass, soil_c: float) -> float:
    base = grass.limits["germination_base"].value
    return grass.limits["germination_sum"].value / (soil_c - base)


@pytest.mark.parametrize(
    ("grass", "days"),
    # Larsen and Bibby 2005, Crop Science 45:2030-2037, abstract: base temperatures and thermal
    # times to half of final germination; the days are worked out by hand from them for 15 °C.
    [("kentucky_bluegrass", 9.32), ("perennial_ryegrass", 5.61), ("fine_fescues", 3.53)],
)
def test_thermal_time_of_germination(grass: str, days: float, book: RuleBook) -> None:
    assert days_to_germinate(book.grasses[grass], 15.0) == pytest.approx(days, abs=0.01)


def test_tall_fescue_from_memory_lies_within_printed_days(book: RuleBook) -> None:
    # North Carolina calendars print 10-21 days, Kentucky (Klahr 2015) 7-10, at 15-22 °C soil.
    fescue = book.grasses["tall_fescue"]
    assert days_to_germinate(fescue, 22.0) < 10
    assert 7 < days_to_germinate(fescue, 15.0) < 21


@pytest.mark.parametrize(
    ("grass", "around_in"),
    # Rules of the games: a softball is 12 in around (World Softball), a baseball 9 to 9¼ in
    # (Official Baseball Rules 3.01). Wilson 2013 (Nebraska): gaps of that size fill in.
    [("kentucky_bluegrass", (12.0, 12.0)), ("tall_fescue", (9.0, 9.25))],
)
def test_gaps_are_as_wide_as_the_balls(
    grass: str, around_in: tuple[float, float], book: RuleBook
) -> None:
    low, high = (around * INCH / math.pi for around in around_in)
    assert low - 1 <= book.grasses[grass].limits["gap_fills"].value <= high + 1


@pytest.mark.parametrize("grass", GRASSES, ids=lambda g: g.id)
def test_overseeding_takes_half_of_the_new_rate(grass: Grass) -> None:
    # Kansas State Horticulture Newsletter, August 2019.
    for end in ("low", "high"):
        new, over = (grass.limits[f"seed_rate_{way}_{end}"].value for way in ("new", "over"))
        assert over == pytest.approx(new / 2)


@pytest.mark.parametrize("grass", GRASSES, ids=lambda g: g.id)
def test_ranges_are_in_order(grass: Grass) -> None:
    value = {name: limit.value for name, limit in grass.limits.items()}
    assert value["thatch_some"] < value["thatch_remove"] < value["thatch_danger"]
    assert value["mowing_low"] < value["mowing_high"]
    assert value["seed_rate_new_low"] < value["seed_rate_new_high"]


def test_species_differ_as_printed(book: RuleBook) -> None:
    room = {g.id: g.limits["room_needed"].value for g in GRASSES}
    # Purdue (late September): too late for bluegrass, perhaps not for ryegrass or tall fescue.
    assert room["kentucky_bluegrass"] > max(room["perennial_ryegrass"], room["tall_fescue"])
    harden = {g.id: g.limits["cold_soil_days_needed"].value for g in GRASSES}
    # Minnesota (August 2023) and Nebraska (Browning 2021): tall fescue hardens slowly.
    assert harden["tall_fescue"] > harden["kentucky_bluegrass"]
    spring = {g.id: g.limits["spring_soil_coolest"].value for g in GRASSES}
    # Nebraska (Lancaster County 2013): bluegrass from 1 April, tall fescue from 15 April.
    assert spring["tall_fescue"] > spring["kentucky_bluegrass"]


# Where soil stays warm the days close the window. Latest sowing dates in print, with the days that
# the words are taken to mean: Virginia Tech Hampton Roads "early November", Gwinnett County by
# Atlanta "early November", Oregon State (Kowalewski 2022) "late October", California IPM "October".
LATEST = {
    "Hampton Roads": (36.9, (11, 1), (11, 10)),
    "Atlanta": (33.9, (11, 1), (11, 10)),
    "Corvallis": (44.6, (10, 20), (10, 31)),
    "San Francisco Bay": (37.9, (10, 25), (11, 5)),
}


def first_short_day(latitude: float, hours: float) -> dt.date:
    day = dt.date(2025, 8, 1)
    while float(sunrise_to_sunset_hours(latitude, day.timetuple().tm_yday)) >= hours:
        day += dt.timedelta(days=1)
    return day


def meets(place: str, hours: float) -> bool:
    latitude, earliest, latest = LATEST[place]
    first = first_short_day(latitude, hours)
    return dt.date(2025, *earliest) <= first <= dt.date(2025, *latest)


@pytest.mark.parametrize("place", LATEST)
def test_short_days_close_on_the_latest_printed_dates(place: str, book: RuleBook) -> None:
    assert meets(place, limit_on("day_length", book))


def test_the_fit_is_as_wide_as_the_rule_says(book: RuleBook) -> None:
    said = book.operations["overseeding"].evidence["short_days"].says
    assert "10.55 to 10.68 h meets them all" in said
    assert all(meets(place, hours) for place in LATEST for hours in (10.55, 10.68))
    assert not all(meets(place, 10.5) for place in LATEST)
    assert not all(meets(place, 10.7) for place in LATEST)


def test_south_of_canterbury_the_days_still_allow_mid_april(book: RuleBook) -> None:
    # Christchurch newspaper, 19 April 2018: now is the time to get lawn seed into the soil.
    hours = float(sunrise_to_sunset_hours(-43.5, dt.date(2018, 4, 19).timetuple().tm_yday))
    assert hours > limit_on("day_length", book)


def limit_on(fact: str, book: RuleBook) -> float:
    closes = book.operations["overseeding"].windows[0].closes
    assert closes is not None
    found: list[Leaf] = [leaf for leaf in leaves(closes) if leaf.fact == fact]
    assert isinstance(found[0].limit, float)
    return found[0].limit
