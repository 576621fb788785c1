"""Freeze statistics on two long records, against figures worked out apart from this code.

The expected dates were computed once with pandas from the same two records (Champion, Nebraska,
1982-2018; central Iowa, 1990-2020), whole days; small-sample choices by resampling them.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path
from statistics import NormalDist, quantiles

import numpy as np
import pytest

from advisor.signals.freeze import (
    FREEZE_THRESHOLDS_C,
    first_freeze,
    freeze_dates,
    last_freeze,
    longest_frost_free_run,
)
from advisor.signals.running import FloatArray

WEATHER = Path(__file__).parents[1] / "data" / "weather"
LEAP_FREE = 2001  # any year without a leap day, to turn an index into a date


def lows(place: str, first: tuple[int, int], last: tuple[int, int]) -> FloatArray:
    """Minimum temperatures of every year between two dates, (years, days), without 29 February."""
    by_year: dict[int, list[float]] = {}
    with gzip.open(WEATHER / f"{place}.csv.gz", "rt", encoding="utf-8") as file:
        for row in csv.DictReader(file):
            day = dt.date.fromisoformat(row["date"])
            if first <= (day.month, day.day) <= last and (day.month, day.day) != (2, 29):
                by_year.setdefault(day.year, []).append(float(row["air_min_c"]))
    return np.array(list(by_year.values()))


def date(start: tuple[int, int], index: float) -> tuple[int, int]:
    day = dt.date(LEAP_FREE, *start) + dt.timedelta(days=round(index))
    return day.month, day.day


def within(found: tuple[int, int], wanted: tuple[int, int], days: int = 1) -> bool:
    apart = dt.date(LEAP_FREE, *found) - dt.date(LEAP_FREE, *wanted)
    return abs(apart.days) <= days


AUTUMN, SPRING = (8, 1), (1, 1)


@pytest.mark.parametrize(
    ("place", "kind", "dates"),
    [
        ("champion_ne", "freeze", ((9, 17), (9, 28), (10, 9))),
        ("champion_ne", "hard_freeze", ((9, 27), (10, 9), (10, 18))),
        ("champion_ne", "frost", ((9, 12), (9, 22), (9, 29))),
        ("central_iowa", "freeze", ((9, 29), (10, 10), (10, 21))),
        ("central_iowa", "hard_freeze", ((10, 7), (10, 22), (10, 31))),
    ],
)
def test_first_freeze(place: str, kind: str, dates: tuple[tuple[int, int], ...]) -> None:
    season = lows(place, AUTUMN, (12, 31))
    found = freeze_dates(first_freeze(season, FREEZE_THRESHOLDS_C[kind]))
    assert found.method == "empirical"
    assert found.without == 0
    for index, wanted in zip(found.quantiles, dates, strict=True):
        assert within(date(AUTUMN, index), wanted), (date(AUTUMN, index), wanted)


@pytest.mark.parametrize(
    ("place", "years", "dates"),
    [
        ("champion_ne", 37, ((4, 26), (5, 10), (5, 25))),
        ("central_iowa", 31, ((4, 14), (4, 28), (5, 7))),
    ],
)
def test_last_freeze(place: str, years: int, dates: tuple[tuple[int, int], ...]) -> None:
    found = freeze_dates(last_freeze(lows(place, SPRING, (6, 30)), 0.0))
    assert found.seasons == years
    for index, wanted in zip(found.quantiles, dates, strict=True):
        assert within(date(SPRING, index), wanted), (date(SPRING, index), wanted)


@pytest.mark.parametrize(
    ("place", "low", "high"),
    [("champion_ne", (9, 12), (9, 19)), ("central_iowa", (9, 22), (10, 4))],
)
def test_interval_of_the_early_date(
    place: str, low: tuple[int, int], high: tuple[int, int]
) -> None:
    """90 % bootstrap interval of the 10 % date: 7 and 12 days wide even with 37 and 31 years."""
    found = freeze_dates(first_freeze(lows(place, AUTUMN, (12, 31)), 0.0))
    assert found.intervals is not None
    early = found.intervals[0]
    assert within(date(AUTUMN, early[0]), low, days=2)
    assert within(date(AUTUMN, early[1]), high, days=2)


def test_quantiles_are_type_7_and_normal_as_the_standard_library_has_them() -> None:
    """Python's statistics: inclusive quantiles are type 7; NormalDist from the sample."""
    values = np.random.default_rng(5).normal(60.0, 9.0, 25)
    deciles = quantiles(values.tolist(), n=10, method="inclusive")
    found = freeze_dates(values)
    assert found.method == "empirical"
    assert found.quantiles == pytest.approx((deciles[0], deciles[4], deciles[8]))
    for count, method in ((8, "rough"), (15, "normal")):
        fitted = NormalDist.from_samples(values[:count].tolist())
        found = freeze_dates(values[:count])
        assert found.method == method
        assert found.intervals is None
        assert found.quantiles == pytest.approx([fitted.inv_cdf(c) for c in (0.1, 0.5, 0.9)])


def test_a_normal_fit_with_ten_years_is_about_four_days_off() -> None:
    """Facts behind the choice of method: 3.8 days at n = 10, no less with 5 (5.5 days)."""
    dates = first_freeze(lows("champion_ne", AUTUMN, (12, 31)), 0.0)
    full = freeze_dates(dates).quantiles[0]
    random = np.random.default_rng(11)
    error = {}
    for count in (5, 10):
        draws = [random.choice(dates, count, replace=False) for _ in range(400)]
        miss = [freeze_dates(d).quantiles[0] - full for d in draws]
        error[count] = float(np.sqrt(np.mean(np.square(miss))))
    assert error[5] == pytest.approx(5.6, abs=0.8)
    assert error[10] == pytest.approx(3.8, abs=0.8)


def test_seasons_without_a_freeze_thin_the_chances_and_are_not_lost() -> None:
    """NOAA's mixed distribution: with a freeze in half of the years, no date has 90 %."""
    dates = np.concatenate([np.arange(20.0), np.full(20, np.inf)])
    found = freeze_dates(dates, (0.25, 0.9))
    assert found.seasons == 40
    assert found.without == 20
    assert found.quantiles[0] == pytest.approx(9.5)  # the middle of the dated half
    assert found.quantiles[1] == np.inf
    spring = freeze_dates(-dates, (0.1, 0.75))
    assert spring.quantiles == pytest.approx((-np.inf, -9.5))
    rough = freeze_dates(np.array([10.0, 12.0, 14.0, np.inf]), (0.5, 0.9))
    assert rough.method == "rough"
    assert rough.quantiles[0] > 12.0
    assert rough.quantiles[1] == np.inf
    assert np.isnan(freeze_dates([5.0, np.inf, np.nan]).quantiles).all()
    with pytest.raises(ValueError, match="between 0 and 1"):
        freeze_dates(dates, (0.0,))


def test_missing_days_drop_a_season_only_before_its_freeze() -> None:
    season = np.full((4, 40), 5.0)
    season[:, 30] = -1.0
    season[1, 5:16] = np.nan  # 11 unknown days before it
    season[2, 31:] = np.nan  # unknown days after it do not matter
    season[3, 30] = 5.0  # never
    assert first_freeze(season, 0.0).tolist()[::2] == [30.0, 30.0]
    assert np.isnan(first_freeze(season, 0.0)[1])
    assert first_freeze(season, 0.0)[3] == np.inf
    assert last_freeze(season[[0, 3]], 0.0).tolist() == [30.0, -np.inf]


def test_growing_days() -> None:
    """Longest run above freezing (Midwestern Regional Climate Center's definition)."""
    assert longest_frost_free_run([1.0, 2.0, -1.0, 3.0, 3.0, 3.0, 0.0]) == 3.0
    assert np.isnan(longest_frost_free_run([np.nan, np.nan]))
    year = lows("champion_ne", SPRING, (12, 31))
    between = first_freeze(year[:, 212:], 0.0) + 212 - last_freeze(year[:, :181], 0.0) - 1
    # Champion has no freeze in July, so the run is what lies between the two dates.
    np.testing.assert_array_equal(longest_frost_free_run(year), between)
