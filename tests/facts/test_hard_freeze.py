"""Days to a hard freeze: on records as they are, and on monthly normals with their spread.

Records: tests/data/weather/README.md. The first freezes themselves are checked against published
tables in tests/published/test_freeze.py; here they are the yardstick.
"""

from __future__ import annotations

import calendar
import csv
import datetime as dt
import gzip
from pathlib import Path
from statistics import mean, median

import numpy as np
import pytest

from advisor.facts.axis import Axis, build_axis
from advisor.facts.day import GrassOfLawn, assemble_day
from advisor.facts.fact import Lawn
from advisor.facts.temperature_facts import NORMALS_SPREAD_C
from advisor.facts.weather_facts import SEARCH_DAYS, WeatherFacts
from advisor.records.check_site import as_record
from advisor.records.journal import Journal
from advisor.records.record import Site
from advisor.records.site_keys import SiteKeys
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.gaps import MonthlyNormals

DATA = Path(__file__).parents[1] / "data" / "weather"
LATITUDES = {"champion_ne": 40.4, "norfolk_uk": 52.6, "central_iowa": 42.0, "clemson_sc": 34.7}
HARD_FREEZE_C = -20 / 9
"""28 °F, the U.S. National Weather Service's hard freeze."""


def lows(place: str) -> dict[dt.date, float]:
    with gzip.open(DATA / f"{place}.csv.gz", "rt", encoding="utf-8") as file:
        rows = csv.DictReader(file)
        return {
            dt.date.fromisoformat(row["date"]): float(row["air_min_c"])
            for row in rows
            if row["air_min_c"]
        }


def first_freezes(record: dict[dt.date, float]) -> list[int]:
    """Days from 1 August to the first hard freeze of each winter that had one."""
    found = []
    for year in sorted({day.year for day in record})[:-1]:
        start = dt.date(year, 8, 1)
        cold = [n for n in range(210) if record.get(start + dt.timedelta(n), 9) <= HARD_FREEZE_C]
        found += cold[:1]
    return found


def normals_of(record: dict[dt.date, float]) -> MonthlyNormals:
    by_month = [[v for day, v in record.items() if day.month == m] for m in range(1, 13)]
    low = tuple(mean(values) for values in by_month)
    return MonthlyNormals("normals.csv", tuple(x + 10 for x in low), low, (50.0,) * 12, "")


def days_to_freeze(axis: Axis | None, latitude: float) -> np.ndarray:
    assert axis is not None
    return WeatherFacts(axis, Lawn(latitude, 100.0)).series("days_to_hard_freeze")


@pytest.mark.parametrize("place", LATITUDES)
def test_normals_name_about_the_median_day(place: str) -> None:
    record = lows(place)
    start = dt.date(2025, 8, 1)
    axis = build_axis(None, normals_of(record), start, LATITUDES[place])
    assert axis is not None
    facts = days_to_freeze(axis, LATITUDES[place])
    on = start + dt.timedelta(days=60)
    ahead = float(facts[0, axis.index(on)]) + 60
    # Never after it; a month before it where winters are mild and flat, else by up to ten days.
    assert -33 <= ahead - median(first_freezes(record)) <= 0


@pytest.mark.parametrize("place", LATITUDES)
def test_most_winters_freeze_after_the_day_that_normals_name(place: str) -> None:
    record = lows(place)
    on = dt.date(2025, 9, 1)
    axis = build_axis(None, normals_of(record), on, LATITUDES[place])
    assert axis is not None
    named = float(days_to_freeze(axis, LATITUDES[place])[0, axis.today]) + 31
    freezes = first_freezes(record)
    assert sum(day >= named for day in freezes) > len(freezes) / 2


def test_the_spread_is_the_one_derived() -> None:
    above = []
    for place in LATITUDES:
        record = lows(place)
        day = dt.date(2001, 8, 1) + dt.timedelta(days=median(first_freezes(record)))
        near = [
            value
            for date, value in record.items()
            if not (date.month == 2 and date.day == 29 and not calendar.isleap(2001))
            and abs((date.replace(year=2001) - day).days) <= 15
        ]
        above.append(mean(near) - HARD_FREEZE_C)
    assert min(above) == pytest.approx(4.5, abs=0.2)
    assert max(above) == pytest.approx(6.9, abs=0.3)
    assert max(above) <= NORMALS_SPREAD_C + 0.2


def test_observed_nights_are_taken_as_they_are() -> None:
    """A night of 3 °C is no freeze, however near the normals' own limit it lies."""
    days = np.arange("2025-10-01", "2025-11-10", dtype="datetime64[D]")
    low = np.full((1, len(days)), 3.0)
    low[0, 30] = HARD_FREEZE_C
    columns = {"air_max_c": low + 10, "air_min_c": low, "rain_mm": low * 0}
    observed = Axis(days, columns, 10, len(days), (), "observed")
    assert days_to_freeze(observed, 41.0)[0, 10] == 20
    assert days_to_freeze(observed, 41.0)[0, 30] == 0
    # On normals the nights to come count with their spread; those before today do not.
    ahead = Axis(days, columns, 10, 11, (), "normals")
    assert days_to_freeze(ahead, 41.0)[0, 10] == 1


def test_no_freeze_within_the_search() -> None:
    axis = build_axis(
        None, MonthlyNormals("n.csv", (25.0,) * 12, (15.0,) * 12, (9.0,) * 12, ""),
        dt.date(2025, 9, 1), 30.0,
    )  # fmt: skip
    assert axis is not None
    assert days_to_freeze(axis, 30.0)[0, axis.today] == SEARCH_DAYS


def test_a_day_counts_whole_days() -> None:
    """An even number of years has a median between two; a keeper is told the fewer days."""
    days = np.arange("2025-10-01", "2025-11-10", dtype="datetime64[D]")
    low = np.full((2, len(days)), 5.0)
    low[0, 20], low[1, 23] = -5.0, -5.0
    columns = {"air_max_c": low + 10, "air_min_c": low, "rain_mm": low * 0}
    axis = Axis(days, columns, 10, 11, (2001, 2002), "record")
    site = as_record(SiteKeys.model_validate(
        {"format": 1, "name": "x", "place": {"latitude": 41.0, "longitude": -81.9},
         "stand": [{"grass": "kentucky_bluegrass"}], "areas": [{"name": "a", "size": "3000 ft2"}]}
    ), Site)  # fmt: skip
    vocabulary = read_rulebook(cache=False).vocabulary
    grass = GrassOfLawn("kentucky_bluegrass", {"season_type": "cool"}, 203.0, {})
    day = assemble_day(site, Journal(), axis, grass, vocabulary, dt.date(2025, 10, 11))
    assert day.facts["days_to_hard_freeze"].value == 11.0
