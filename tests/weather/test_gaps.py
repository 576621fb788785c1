"""Filling gaps: the method, held to plain references and to days that were really measured."""

from __future__ import annotations

import datetime as dt
import gzip
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from dateutil.relativedelta import relativedelta

from advisor.base.record import replace
from advisor.weather.gaps import fill_gaps, gap_report
from advisor.weather.read_weather import read_weather
from advisor.weather.table import Fill, Values, WeatherTable

DATA = Path(__file__).parents[1] / "data" / "weather"
RECORDS = ["central_iowa", "champion_ne", "norfolk_uk"]


@pytest.fixture(scope="module")
def records(tmp_path_factory: pytest.TempPathFactory) -> dict[str, WeatherTable]:
    folder = tmp_path_factory.mktemp("weather")
    tables = {}
    for name in RECORDS:
        path = folder / f"{name}.csv"
        path.write_bytes(gzip.decompress((DATA / f"{name}.csv.gz").read_bytes()))
        tables[name] = read_weather(path, today=dt.date(2026, 1, 1))
    return tables


def hide(table: WeatherTable, at: slice | Values, column: str = "air_max_c") -> WeatherTable:
    values = table.columns[column].copy()
    values[at] = np.nan
    return replace(table, columns={**table.columns, column: values})


@pytest.mark.parametrize("size", [1, 2, 3])
def test_up_to_three_days_are_interpolated_as_pandas_does(
    records: dict[str, WeatherTable], size: int
) -> None:
    holed = hide(records["champion_ne"], slice(1000, 1000 + size), "air_min_c")
    filled = fill_gaps(holed)
    reference = pd.Series(holed.columns["air_min_c"]).interpolate().to_numpy()
    np.testing.assert_allclose(filled.columns["air_min_c"], reference, atol=0.0051)
    assert (filled.filled["air_min_c"] == Fill.INTERPOLATED).sum() == size
    assert not filled.filled["air_max_c"].any()


def plain_other_years(table: WeatherTable, at: int) -> float:
    """Day by day with dateutil: the mean over the other years of their weeks around this day."""
    day, values = table.days[at].item(), table.columns["air_max_c"]
    means = []
    for year in range(table.first.year, table.end.year + 1):
        if year == day.year:
            continue
        centre = (day + relativedelta(year=year) - table.first).days
        week = [
            values[i]
            for i in range(centre - 7, centre + 8)
            if 0 <= i < len(values) and not np.isnan(values[i])
        ]
        if len(week) > 7:
            means.append(np.mean(week))
    return float(np.mean(means)) if len(means) >= 3 else np.nan


@pytest.mark.parametrize("first", [5, 783, 9000])
def test_longer_gaps_take_the_same_week_of_other_years(
    records: dict[str, WeatherTable], first: int
) -> None:
    table = records["central_iowa"]  # day 789 is 29 February 1992
    gap = slice(first, first + 12)
    holed = hide(hide(table, gap), gap, "air_min_c")
    filled = fill_gaps(holed)
    for at in range(first, first + 12):
        expected = plain_other_years(holed, at)
        assert filled.columns["air_max_c"][at] == pytest.approx(expected, abs=0.0051)
    assert (filled.filled["air_max_c"] == Fill.OTHER_YEARS).sum() == 12


def test_two_other_years_are_too_few(records: dict[str, WeatherTable]) -> None:
    table = records["norfolk_uk"].until(dt.date(1993, 12, 31))
    holed = hide(table, slice(400, 410))
    filled = fill_gaps(holed)
    assert np.isnan(filled.columns["air_max_c"][400:410]).all()
    assert gap_report(filled) == "0 days of 1,096 filled; 10 left unknown"


def test_rain_and_the_ends_of_the_record_are_left_unknown(
    records: dict[str, WeatherTable],
) -> None:
    table = hide(records["norfolk_uk"], slice(700, 702), "rain_mm")
    table = hide(hide(table, slice(0, 2)), slice(len(table) - 2, None))
    filled = fill_gaps(table)
    for name in ("rain_mm", "air_max_c"):
        np.testing.assert_array_equal(filled.columns[name], table.columns[name])
    assert not any(marks.any() for marks in filled.filled.values())


def test_a_filled_maximum_below_the_measured_minimum_is_dropped() -> None:
    seattle = read_weather(
        DATA.parent / "ncei" / "seattle_2012_2015.csv", today=dt.date(2026, 1, 1)
    )
    lows = seattle.columns["air_min_c"].copy()
    lows[50] = 40.0
    holed = hide(replace(seattle, columns={**seattle.columns, "air_min_c": lows}), slice(50, 51))
    filled = fill_gaps(holed)
    assert np.isnan(filled.columns["air_max_c"][50])
    assert filled.columns["air_min_c"][50] == 40.0


def test_the_report_counts_days_by_method(records: dict[str, WeatherTable]) -> None:
    table = records["central_iowa"]
    assert gap_report(fill_gaps(table)) == "no gaps in the temperatures of 11,323 days"
    holed = table
    for start, size in ((100, 3), (200, 3), (300, 3), (400, 4)):
        for column in ("air_max_c", "air_min_c"):
            holed = hide(holed, slice(start, start + size), column)
    assert gap_report(fill_gaps(holed)) == (
        "13 days of 11,323 filled (9 by interpolation, 4 from other years' same week)"
    )


@pytest.mark.parametrize("name", RECORDS)
def test_on_measured_days_each_method_is_the_better_one_where_it_is_used(
    records: dict[str, WeatherTable], name: str
) -> None:
    """Gaps cut into real records: the filled values against what was measured there."""
    table = records[name]
    truth = table.columns["air_max_c"]
    starts = np.arange(400, len(truth) - 400, 60)

    def errors(size: int) -> tuple[float, float, Values]:
        at = (starts[:, None] + np.arange(size)).ravel()
        holed = hide(hide(table, at), at, "air_min_c")
        filled = fill_gaps(holed)
        line = pd.Series(holed.columns["air_max_c"]).interpolate().to_numpy()
        ours = np.abs(filled.columns["air_max_c"] - truth)[at].mean()
        return float(ours), float(np.abs(line - truth)[at].mean()), at

    ours, line, at = errors(3)
    weeks = np.abs([plain_other_years(table, int(i)) for i in at] - truth[at]).mean()
    assert ours == pytest.approx(line, abs=0.01)
    assert ours < 0.85 * weeks
    ours, line, _ = errors(21)
    assert ours < line
