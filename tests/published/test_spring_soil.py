"""The soil at which spring sowing of bluegrass begins, against a printed first day of sowing."""

from __future__ import annotations

import csv
import gzip
from pathlib import Path

import numpy as np
import pytest

from advisor.rulebook.read_rulebook import read_rulebook
from advisor.signals.running import trailing_mean
from advisor.signals.soil_temperature import soil_temperature

RECORD = Path(__file__).parents[1] / "data" / "weather" / "champion_ne.csv.gz"
GERMINATES_C = 10.0
"""Purdue Turf Tips, "If you must seed, do it now": seed starts to germinate as soil warms to 50 °F.
"""


def soil_on(day: str) -> float:
    """Median of the 7-day soil temperature at 10 cm on a day (MM-DD), °C."""
    with gzip.open(RECORD, "rt", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    high, low = (np.array([float(r[k]) for r in rows]) for k in ("air_max_c", "air_min_c"))
    week = trailing_mean(soil_temperature(high, low, 10), 7)
    return float(np.nanmedian([week[i] for i, r in enumerate(rows) if r["date"].endswith(day)]))


def test_bluegrass_begins_between_the_printed_day_and_germination() -> None:
    # Nebraska Extension, Lancaster County 2013: bluegrass from 1 April, tall fescue from 15 April.
    grasses = read_rulebook(cache=False).grasses
    first = soil_on("04-01")
    limit = grasses["kentucky_bluegrass"].limits["spring_soil_coolest"].value
    assert first < limit < GERMINATES_C
    assert limit == pytest.approx((first + GERMINATES_C) / 2, abs=1.0)
    # The printed second day is warmer, and the fescue's limit stands above the bluegrass's.
    assert soil_on("04-15") > first + 1.0
    assert grasses["tall_fescue"].limits["spring_soil_coolest"].value > limit
