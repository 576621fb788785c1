"""Work that costs a lawn when it comes at the wrong season: it is not advised then, anywhere.

Real records of Norfolk and Christchurch (tests/data/weather/README.md), and invented climates.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from grid import CLIMATES as RECORDED
from grid import axis_of, day_of
from invented import CLIMATES, Place, day_on, known_for
from test_each_climate import lawns

from advisor.decide.verdicts.decide import Decider, Decision
from advisor.rulebook.model import RuleBook

FAHRENHEIT = {40: 40 / 9, 50: 10.0, 55: 115 / 9, 65: 165 / 9}
PLACES = {place.name: place for place in CLIMATES}


def decisions(
    book: RuleBook, place: Place, grass: str, job: str, step: int = 11, **more: object
) -> Iterator[tuple[dt.date, Decision, float]]:
    """The job through 2020, with the soil of the day's week, °C."""
    known = known_for(book, job, grass)
    assert known is not None
    for number in range(2, 366, step):
        on = dt.date(2020, 1, 1) + dt.timedelta(days=number)
        day = day_on(book, place, grass, on, known | more)  # type: ignore[operator]
        soil = day.facts["soil_temperature_4in_7d"].value
        assert isinstance(soil, float)
        yield on, Decider(book, day, "metric").decide(job), soil


@pytest.mark.slow
@pytest.mark.sample(3)
@pytest.mark.parametrize("place", CLIMATES, ids=lambda place: place.name)
def test_water_stays_on_while_grass_grows(place: Place, book: RuleBook) -> None:
    """Shoots grow best from 60 °F soil up (North Carolina State 2005); bermudagrass is green at 65
    (Georgia 2019). A window is open in most years where the middle of them is past the limit."""
    for grass in lawns(place):
        warm = book.grasses[grass].traits["season_type"] == "warm"
        most = FAHRENHEIT[65 if warm else 55] + 1.0
        for on, decision, soil in decisions(book, place, grass, "winter_care"):
            assert decision.verdict != "do" or soil < most, (on, grass, soil)


@pytest.mark.slow
def test_a_high_valley_covers_its_backflow_and_waters_on(book: RuleBook) -> None:
    """Its hard freezes begin weeks before its grass stops growing."""
    place, grass = PLACES["high valley"], "tall_fescue"
    found = list(decisions(book, place, grass, "winter_care", 3))
    assert not [on for on, decision, _ in found if decision.verdict == "do" and on.month in (7, 8)]
    early = [
        decision
        for on, decision, _ in found
        if on.month in (9, 10)
        and decision.verdict == "wait"
        and any(advice.id == "early_freeze" for advice in decision.advice)
    ]
    assert early
    assert [on for on, decision, _ in found if decision.verdict == "do" and on.month in (10, 11)]


def test_pipes_are_left_alone_when_winter_ends(book: RuleBook) -> None:
    for grass in ("tall_fescue", "bermudagrass"):
        for on, decision, _ in decisions(book, PLACES["warm south"], grass, "winter_care"):
            if dt.date(2020, 2, 12) <= on <= dt.date(2020, 8, 1):
                assert decision.verdict != "do", (on, grass)
                assert not [a for a in decision.advice if a.id == "too_late"], (on, grass)


def test_seed_that_comes_up_keeps_its_water(book: RuleBook) -> None:
    place, grass = PLACES["middle west"], "tall_fescue"
    for job in ("overseeding", "new_seeding", "patch_repair"):
        more = {f"days_since.{job}": 10.0}
        for on, decision, _ in decisions(book, place, grass, "winter_care", 17, **more):
            assert decision.verdict != "do", (on, job)


@pytest.mark.slow
@pytest.mark.sample(3)
@pytest.mark.parametrize("place", CLIMATES, ids=lambda place: place.name)
def test_no_nitrogen_on_grass_that_rests(place: Place, book: RuleBook) -> None:
    """Cool-season grass is fed up to ten days after its soil fell under 50 °F (Indiana, Iowa)."""
    for grass in lawns(place):
        warm = book.grasses[grass].traits["season_type"] == "warm"
        for on, decision, soil in decisions(book, place, grass, "feeding"):
            if decision.verdict != "do":
                continue
            resting = decision.facts["days_since_warm_soil"].value
            assert warm or (isinstance(resting, float) and resting <= 12), (on, soil, resting)
            assert not warm or soil > FAHRENHEIT[50], (on, soil)
        for on, decision, _ in decisions(book, place, grass, "feeding", 25, turf_state="dormant"):
            assert decision.verdict != "do", (on, "dormant")


@pytest.mark.parametrize(
    ("name", "first", "days"),
    [("Norfolk", dt.date(2018, 12, 1), 90), ("Christchurch", dt.date(2018, 6, 15), 77)],
)
def test_no_nitrogen_in_a_mild_winter(
    name: str, first: dt.date, days: int, book: RuleBook, folder: Path
) -> None:
    """A British society feeds no nitrogen after August; Nebraska none from November to March."""
    climate = next(c for c in RECORDED if c.name == name)
    known = known_for(book, "feeding", "perennial_ryegrass")
    assert known is not None
    tried = 0
    for number in range(0, days, 7):
        on = first + dt.timedelta(days=number)
        axis = axis_of(climate, on, folder)
        day = day_of(book, climate, "perennial_ryegrass", axis, on, known)
        assert Decider(book, day, "metric").decide("feeding").verdict != "do", on
        tried += 1
    assert tried > 10


@pytest.mark.sample(3)
@pytest.mark.parametrize("place", CLIMATES, ids=lambda place: place.name)
def test_dormant_seed_goes_on_cold_soil_alone(place: Place, book: RuleBook) -> None:
    """Minnesota (turf science): below 40 °F; sown warmer, seed sprouts and dies."""
    for grass in set(lawns(place)) & set(book.operations["dormant_seeding"].grasses):
        for on, decision, soil in decisions(book, place, grass, "dormant_seeding", 7):
            assert decision.verdict != "do" or soil < FAHRENHEIT[40], (on, soil)
