"""A small vocabulary for the journal, and an invented site."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

import pytest

from advisor.records.doing import DoneAs
from advisor.records.work_text import WorkWords

TODAY = dt.date(2026, 9, 16)


@dataclass(frozen=True)
class Fact:
    name: str
    kind: str
    unit: str = ""
    choices: tuple[str, ...] = ()
    lowest: float | None = None
    highest: float | None = None
    said_as: tuple[str, ...] = ()


@pytest.fixture
def today() -> dt.date:
    return TODAY


@pytest.fixture
def facts() -> dict[str, Fact]:
    listed = (
        Fact("thatch_depth", "number", "mm", lowest=0, highest=150, said_as=("thatch",)),
        Fact("soil_thermometer", "number", "°C", said_as=("soil", "soil temperature")),
        Fact("soil_ph", "number", lowest=3, highest=10, said_as=("ph",)),
        Fact(
            "turf_state",
            "choice",
            choices=("green_and_growing", "brown", "stressed"),
            said_as=("turf", "grass", "lawn"),
        ),
        Fact("footprints_stay", "flag", said_as=("footprints",)),
        Fact("label_wait_until", "date", said_as=("label wait",)),
    )
    return {fact.name: fact for fact in listed}


@pytest.fixture
def operations() -> dict[str, WorkWords]:
    return {
        "core_aeration": work(("core", "aerate"), ("cored", "aerated", "core aerated")),
        "thatch_removal": work(("dethatch", "scarify"), ("dethatched", "scarified")),
        "feeding": work(("feed", "fertilise"), ("fed", "fertilised")),
        "watering": work(("water",), ("watered",)),
        "overseeding": work(("overseed",), ("overseeded",)),
        "mowing": work(("mow",), ("mowed", "mown")),
    }


def work(asked_as: tuple[str, ...], alone: tuple[str, ...]) -> WorkWords:
    return WorkWords(asked_as, DoneAs(alone))


@pytest.fixture
def site_text() -> str:
    return """\
format: 1
name: Invented lawn
place:
  town: Nowhere
  latitude: 41.1
  longitude: -81.6
  elevation: 1,050 ft
  time_zone: America/New_York
  country: US
  subdivision: OH
units: us
climate: humid
stand:
  - {grass: perennial ryegrass, share: 20 %}
  - {grass: Kentucky bluegrass, share: 80 %}
sown_on: 2019-09-01
areas:
  - {name: Front, size: "3,000 ft2", sun: full, slope: gentle, near_water: no}
  - name: back yard
    size: 100 m2
    stand: [{grass: tall_fescue}]
soil: {texture: Silt loam}
water:
  irrigated: Yes
  can_water_seed: true
  restrictions_checked: 2026-08-01
  zones: [{name: north, areas: [front, Back yard], precipitation_rate: 0.5 in/h}]
tools: [{kind: core aerator, have: rented, price: 80, block: 4 h, width: 19 in}]
people: {number: 2, hours_per_day: 6 h, free_days: [Saturday, sunday]}
"""
