"""When warm-season sowing opens on real weather, against dates in print.

Patton and others 2004 (abstract): bermudagrass and zoysia best from 1 June, Indiana to Kentucky;
Virginia Cooperative Extension 426-718: May to July. Records: tests/data/weather/README.md.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path

import numpy as np
import pytest

from advisor.rulebook.conditions import leaves
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.signals.running import trailing_mean
from advisor.signals.soil_temperature import soil_temperature

DATA = Path(__file__).parents[1] / "data" / "weather"
BOOK = read_rulebook(cache=False)


def opening_limit(operation: str, window: str) -> float:
    (found,) = (w for w in BOOK.operations[operation].windows if w.id == window)
    (limit,) = (leaf.limit for leaf in leaves(found.opens))
    assert isinstance(limit, float)
    return limit


def opens(place: str, limit: float) -> dt.date:
    """Median first day of the year on which the soil has been so warm for five days."""
    with gzip.open(DATA / f"{place}.csv.gz", "rt", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    high, low = (np.array([float(r[k] or "nan") for r in rows]) for k in ("air_max_c", "air_min_c"))
    warm = trailing_mean(soil_temperature(high, low, 10), 7) >= limit
    found: dict[str, int] = {}
    for at, row in enumerate(rows):
        year, day = row["date"][:4], row["date"][5:]
        if "03-25" <= day <= "08-31" and year not in found and warm[at - 4 : at + 1].all():
            found[year] = dt.date.fromisoformat(row["date"]).timetuple().tm_yday
    return dt.date(2025, 1, 1) + dt.timedelta(int(np.median(list(found.values()))) - 1)


WINDOWS = [
    ("overseeding", "early_summer"),
    ("overseeding", "early_summer_other"),
    ("patch_repair", "warm_season"),
    ("new_seeding", "early_summer"),
    ("new_seeding", "early_summer_other"),
]


@pytest.mark.parametrize(("operation", "window"), WINDOWS)
def test_sowing_opens_when_printed(operation: str, window: str) -> None:
    limit = opening_limit(operation, window)
    # At the latitude of northern Indiana.
    for place in ("central_iowa", "chicago_il_typical"):
        assert abs((opens(place, limit) - dt.date(2025, 6, 1)).days) <= 10
    # Virginia's May; upstate South Carolina a little before.
    assert dt.date(2025, 5, 1) <= opens("sterling_va_typical", limit) <= dt.date(2025, 5, 31)
    assert opens("clemson_sc", limit) < opens("sterling_va_typical", limit)


def test_winter_rye_is_sown_around_mid_october_in_the_upper_south() -> None:
    """Upstate South Carolina, between Georgia and North Carolina.

    Mississippi State (Wells 2011): soil of around 70 °F, about the middle of October. University of
    Georgia (Hall County): two to four weeks before the average first killing frost.
    """
    (window,) = BOOK.operations["rye_overseeding"].windows
    limits = {leaf.fact: leaf.limit for leaf in leaves(window.opens)}
    with gzip.open(DATA / "clemson_sc.csv.gz", "rt", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    high, low = (np.array([float(r[k] or "nan") for r in rows]) for k in ("air_max_c", "air_min_c"))
    soil = trailing_mean(soil_temperature(high, low, 10), 5) < limits["soil_temperature_4in"]
    cool = soil & (trailing_mean(low, 10) < limits["night_low_10d"])
    by_year: dict[str, list[int]] = {}
    freeze: dict[str, int] = {}
    for at, row in enumerate(rows):
        year, day = row["date"][:4], row["date"][5:]
        of_year = dt.date.fromisoformat(row["date"]).timetuple().tm_yday
        if "09-01" <= day <= "12-20" and cool[at - 4 : at + 1].all():
            by_year.setdefault(year, []).append(of_year)
        if day >= "09-01" and low[at] <= -20 / 9:
            freeze.setdefault(year, of_year)
    opens = np.median([days[0] for days in by_year.values()])
    closes = np.median(list(freeze.values())) - 14
    middle_of_october = dt.date(2025, 10, 15).timetuple().tm_yday
    assert middle_of_october - 28 < opens < middle_of_october < closes
