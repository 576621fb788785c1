"""Growing warmth before the first freeze, against the sowing dates printed with its limits.

Patton, Hardebeck, Williams and Reicher 2004 (Crop Science, doi 10.2135/cropsci2004.2160, abstract):
over 950 °C·d (base 5 °C) before the first frost for seeded bermudagrass, over 1750 for zoysia; best
dates from Indiana to Kentucky 1 June to 15 July, and 1 to 15 June. Two numbers of one paper must be
compatible on weather of those latitudes. Records: tests/data/weather/README.md.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path

import numpy as np
import pytest

from advisor.signals.growth import mean_degree_days, room_left, room_until

DATA = Path(__file__).parents[1] / "data" / "weather"


def seasons(place: str) -> tuple[np.ndarray, np.ndarray]:
    """Degree days from 1 April to 31 December, (years, 275), and each year's first freeze."""
    with gzip.open(DATA / f"{place}.csv.gz", "rt", encoding="utf-8") as file:
        rows = {row["date"]: row for row in csv.DictReader(file)}
    heat, freeze = [], []
    for year in sorted({date[:4] for date in rows}):
        first = dt.date(int(year), 4, 1)
        dates = [str(first + dt.timedelta(days=n)) for n in range(275)]
        if any(date not in rows for date in dates):
            continue
        high, low = (
            np.array([float(rows[date][name] or "nan") for date in dates])
            for name in ("air_max_c", "air_min_c")
        )
        heat.append(mean_degree_days(high, low, 5.0))
        cold = low <= 0.0
        cold[:81] = False  # before midsummer
        freeze.append(cold.argmax() if cold.any() else len(dates))
    return np.stack(heat), np.array(freeze)


def last_day(place: str, need: float) -> dt.date:
    """Median over the years of the last day with so much warmth left before the freeze."""
    heat, freeze = seasons(place)
    enough = room_until(heat, freeze) > need
    days = enough.shape[1] - 1 - enough[:, ::-1].argmax(axis=1)
    return dt.date(2025, 4, 1) + dt.timedelta(int(np.median(days)))


@pytest.mark.parametrize("place", ["central_iowa", "champion_ne", "chicago_il_typical"])
def test_the_printed_warmth_gives_the_printed_dates(place: str) -> None:
    # All three lie at the latitude of northern Indiana, 40 to 42° N.
    assert abs((last_day(place, 1750) - dt.date(2025, 6, 15)).days) <= 7
    # The best dates of bermudagrass end two weeks before the last that its warmth allows.
    assert dt.date(2025, 7, 15) <= last_day(place, 950) <= dt.date(2025, 8, 5)


def test_the_south_has_longer() -> None:
    assert last_day("clemson_sc", 1750) > last_day("central_iowa", 1750) + dt.timedelta(days=21)


def test_one_end_for_all_is_room_left() -> None:
    """Algebra: with the same end in each row the two sums are one; what lies behind is not read."""
    heat = np.random.default_rng(5).uniform(0.0, 9.0, (4, 50))
    np.testing.assert_allclose(room_until(heat, np.full(4, 40)), room_left(heat, 40))
    heat[:, 45:] = np.nan
    assert not np.isnan(room_until(heat, np.full(4, 40))).any()
    assert (room_until(heat, np.array([0, 10, 20, 30]))[0] == 0.0).all()
