"""Numbers of the rule files against what stands behind them."""

from __future__ import annotations

import datetime as dt
import math

import pytest

from advisor.rulebook.conditions import Leaf, leaves
from advisor.rulebook.model import Grass, RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.signals.sun import sunrise_to_sunset_hours

BOOK = read_rulebook(cache=False)
GRASSES = list(BOOK.grasses.values())
COOL = [g for g in GRASSES if g.traits["season_type"] == "cool"]
SOWN = [g for g in GRASSES if "seed_rate_new_low" in g.limits]
TIMED = [g for g in GRASSES if "germination_sum" in g.limits]
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


def test_a_month_to_sprout_and_six_weeks_to_establish(book: RuleBook) -> None:
    # Illinois (Fulton, 17 March 2010): up to a month to germinate, six to eight weeks to establish.
    best = book.operations["spring_seeding"].windows[0].best
    assert best is not None
    assert [leaf.limit for leaf in leaves(best)] == [30 + 6 * 7]


def test_winter_does_not_end_before_february(book: RuleBook) -> None:
    # Kansas (Fry 2023) sowed dormant in February and March, Indiana until March (Purdue 2011).
    closes = book.operations["dormant_seeding"].windows[0].closes
    assert closes is not None
    (hours,) = (leaf.limit for leaf in leaves(closes) if leaf.fact == "day_length")
    assert isinstance(hours, float)
    for latitude in (35.0, 39.0, 45.0):
        first = next(day for day in range(1, 91) if sunrise_to_sunset_hours(latitude, day) >= hours)
        assert dt.date(2025, 2, 1) <= dt.date(2025, 1, 1) + dt.timedelta(first - 1)
        assert dt.date(2025, 1, 1) + dt.timedelta(first - 1) <= dt.date(2025, 2, 17)


def test_every_other_autumn_and_a_month(book: RuleBook) -> None:
    # Kansas (Eckert, Planting tall fescue): overseeding every year or every other year is too much.
    (again,) = (c for c in book.operations["overseeding"].conflicts if c.id == "shade_again")
    (limit,) = (x.limit for x in leaves(again.when) if x.fact == "days_since.overseeding")
    assert limit == 2 * 365 + 30


@pytest.mark.parametrize("operation", ["overseeding", "dormant_seeding", "spring_seeding"])
def test_rain_that_fills_a_loam(operation: str, book: RuleBook) -> None:
    # FAO-56 (Allen et al. 1998) table 19: a loam holds 0.20 to 0.30 of its volume at field
    # capacity; its porosity of about 0.45 is from memory. 10 in of it then take 1.5 to 2.5 in.
    ready = leaves(book.operations[operation].ready)
    (limit,) = (leaf.limit for leaf in ready if leaf.fact == "rain_3d")
    air = (0.45 - (0.20 + 0.30) / 2) * 10 * INCH
    assert limit == pytest.approx(air, rel=0.02)


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


@pytest.mark.parametrize("grass", SOWN, ids=lambda g: g.id)
def test_overseeding_takes_half_of_the_new_rate(grass: Grass) -> None:
    # Kansas State Horticulture Newsletter, August 2019.
    for end in ("low", "high"):
        new, over = (grass.limits[f"seed_rate_{way}_{end}"].value for way in ("new", "over"))
        assert over == pytest.approx(new / 2)


@pytest.mark.parametrize("grass", GRASSES, ids=lambda g: g.id)
def test_mowing_limits_follow_from_the_printed_heights(grass: Grass) -> None:
    # University of California IPM: mow at one and a half times the height wanted.
    value = {name: limit.value for name, limit in grass.limits.items()}
    middle = (value["mowing_low"] + value["mowing_high"]) / 2
    assert value["mow_at"] == pytest.approx(1.5 * middle)
    # Oregon State EC 1550 and the rule of a third: first cut when a third above the height kept.
    third_above = value["mowing_low"] * 4 / 3
    if grass.id == "kentucky_bluegrass":
        # Iowa State (6 May 1992) names a height itself: at 3 in, down to 2.
        assert value["first_mow"] == pytest.approx(3 * INCH)
        assert value["first_mow"] * 2 / 3 - 0.01 <= 2 * INCH
    else:
        assert value["first_mow"] == pytest.approx(third_above, abs=0.2)


def test_a_third_off_three_inches_leaves_two(book: RuleBook) -> None:
    (one_cut,) = (a for a in book.operations["low_mow"].advice if a.id == "one_cut")
    assert one_cut.when is not None
    limit = next(iter(leaves(one_cut.when))).limit
    assert isinstance(limit, float)
    assert limit * 2 / 3 == pytest.approx(2 * INCH)


def test_autumn_nitrogen_within_the_year(book: RuleBook) -> None:
    # Maryland schedule (2023): two autumn doses of 0.7-0.9 lb per 1,000 ft² on bluegrass and tall
    # fescue out of 2.7 lb a year, one on fine fescue out of 1.4 lb. 1 lb/1000 ft² is 4.882 g/m².
    pound = 4.882
    autumn = {g.id: g.limits["nitrogen_midwinter"].value / pound for g in COOL}
    for id in ("kentucky_bluegrass", "tall_fescue"):
        assert autumn[id] == pytest.approx(2 * 0.9, abs=0.01)
        assert autumn[id] < 2.7
    assert autumn["fine_fescues"] == pytest.approx(0.9, abs=0.01)


def test_seed_is_up_when_the_advice_says(book: RuleBook) -> None:
    # Larsen and Bibby 2005 thermal times at 60-65 °F soil (15.6-18.3 °C).
    days = {g.id: (days_to_germinate(g, 18.3), days_to_germinate(g, 15.6)) for g in TIMED}
    for id in ("fine_fescues", "perennial_ryegrass"):
        assert 2.5 < days[id][0] < days[id][1] < 6
    for id in ("kentucky_bluegrass", "tall_fescue"):
        assert 7 < days[id][0] < days[id][1] < 10


def test_rain_that_keeps_a_seedbed_moist_three_days() -> None:
    # 3-6 mm a day from a wet surface in September; FAO-56 table 2, from memory: 2-4 mm at about
    # 20 °C in subhumid places, 4-7 mm over 30 °C.
    rain = 0.75 * INCH
    assert rain > 3 * 3
    assert rain == pytest.approx(3 * 6, abs=1.5)


@pytest.mark.parametrize("grass", GRASSES, ids=lambda g: g.id)
def test_ranges_are_in_order(grass: Grass) -> None:
    value = {name: limit.value for name, limit in grass.limits.items()}
    assert value["thatch_some"] < value["thatch_remove"] < value["thatch_danger"]
    assert value["mowing_low"] < value["mowing_high"]
    if grass in SOWN:
        assert value["seed_rate_new_low"] < value["seed_rate_new_high"]
    assert value["nitrogen_year_low"] < value["nitrogen_year_high"]
    if grass in COOL:
        assert value["nitrogen_midwinter"] < value["nitrogen_year_high"]


def test_species_differ_as_printed(book: RuleBook) -> None:
    room = {g.id: g.limits["room_needed"].value for g in COOL}
    # Purdue (late September): too late for bluegrass, perhaps not for ryegrass or tall fescue.
    assert room["kentucky_bluegrass"] > max(room["perennial_ryegrass"], room["tall_fescue"])
    harden = {g.id: g.limits["cold_soil_days_needed"].value for g in COOL}
    # Minnesota (August 2023) and Nebraska (Browning 2021): tall fescue hardens slowly.
    assert harden["tall_fescue"] > harden["kentucky_bluegrass"]
    spring = {g.id: g.limits["spring_soil_coolest"].value for g in COOL}
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
