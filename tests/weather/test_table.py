"""The weather table: what it refuses, what it hides, how old it is."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest

from advisor.weather.gaps import fill_gaps
from advisor.weather.read_weather import read_weather
from advisor.weather.table import Fill, Source, WeatherTable

SEATTLE = Path(__file__).parents[1] / "data" / "ncei" / "seattle_2012_2015.csv"
SOURCE = Source("w.csv", "own file", "us")
NAN = np.nan


def table(highs: list[float], lows: list[float], first: str = "2025-06-01") -> WeatherTable:
    days = np.datetime64(first) + np.arange(len(highs))
    columns = {"air_max_c": np.array(highs), "air_min_c": np.array(lows)}
    return WeatherTable(days, columns, SOURCE)


def test_nothing_in_it_can_be_changed() -> None:
    one = table([20.0, 21.0], [10.0, 11.0])
    for values in (one.days, one.columns["air_max_c"], one.filled["air_max_c"]):
        with pytest.raises(ValueError, match="read-only"):
            values[0] = values[1]
    with pytest.raises(TypeError):
        one.columns["air_max_c"] = np.zeros(2)  # type: ignore[index]


def test_it_does_not_share_memory_with_what_it_was_made_of() -> None:
    highs = np.array([20.0, 21.0])
    days = np.datetime64("2025-06-01") + np.arange(2)
    one = WeatherTable(days, {"air_max_c": highs}, SOURCE)
    highs[0] = 99.0
    assert one.columns["air_max_c"][0] == 20.0


@pytest.mark.parametrize(
    ("days", "columns", "says"),
    [
        ([0, 2], {"air_max_c": [1.0, 2.0]}, "consecutive"),
        ([], {}, "at least one day"),
        ([0, 1], {"air_max_c": [1.0]}, "2 float64 values"),
        ([0, 1], {"air_max_c": [1, 2]}, "2 float64 values"),
        ([0, 1], {"air_max_f": [1.0, 2.0]}, "no weather column"),
        ([0, 1], {"rain_mm": [1.0, np.inf]}, "infinity"),
    ],
)
def test_what_does_not_fit_together_is_refused(
    days: list[int], columns: dict[str, list[float]], says: str
) -> None:
    dates = np.datetime64("2025-06-01") + np.array(days, dtype="timedelta64[D]")
    arrays = {name: np.array(values) for name, values in columns.items()}
    with pytest.raises(ValueError, match=says):
        WeatherTable(dates, arrays, SOURCE)


def test_absent_columns_are_unknown_and_unheard_of_ones_an_error() -> None:
    one = table([20.0], [10.0])
    assert np.isnan(one.column("rain_mm")).all()
    assert np.isnan(one.column("soil_10cm_c")).all()
    with pytest.raises(KeyError):
        one.column("soil")


def test_the_last_day_is_the_last_observed_one() -> None:
    one = table([20.0, 21.0, NAN, NAN], [10.0, NAN, NAN, NAN])
    assert (one.first, one.last, one.end) == (
        dt.date(2025, 6, 1),
        dt.date(2025, 6, 2),
        dt.date(2025, 6, 4),
    )
    assert one.age_days(dt.date(2025, 6, 10)) == 8
    assert one.age_days(dt.date(2025, 6, 1)) == 0
    assert one.age_days(dt.date(2025, 5, 31)) is None
    assert one.index(dt.date(2025, 6, 3)) == 2
    assert one.index(dt.date(2025, 6, 5)) is None
    assert table([NAN], [NAN]).last is None


def test_a_year_counts_with_330_days_of_both_temperatures() -> None:
    highs, lows = np.full(730, 20.0), np.full(730, 10.0)
    highs[:35] = NAN
    assert table(list(highs), list(lows), "2021-01-01").years == (2021, 2022)
    lows[35] = NAN
    assert table(list(highs), list(lows), "2021-01-01").years == (2022,)


def test_hiding_later_days_hides_what_was_filled_from_them() -> None:
    whole = read_weather(SEATTLE, today=dt.date(2026, 1, 1))
    columns = {name: values.copy() for name, values in whole.columns.items()}
    columns["air_max_c"][500:502] = NAN
    filled = fill_gaps(WeatherTable(whole.days, columns, whole.source))
    assert filled.filled["air_max_c"][501] == Fill.INTERPOLATED
    day = whole.days[501].item()
    then = filled.until(day)
    assert then.end == day
    assert then.last == day  # rain and minimum were observed
    assert np.isnan(then.columns["air_max_c"][500:502]).all()
    assert not then.filled["air_max_c"].any()
    np.testing.assert_array_equal(then.columns["air_max_c"][:500], columns["air_max_c"][:500])


def test_a_forecast_is_no_observation() -> None:
    one = table([20.0, 21.0, 22.0], [10.0, 11.0, 12.0])
    ahead = WeatherTable(one.days, one.columns, SOURCE, forecast_from=dt.date(2025, 6, 3))
    assert ahead.last == dt.date(2025, 6, 2)
    assert ahead.age_days(dt.date(2025, 6, 3)) == 1
    assert ahead.until(dt.date(2025, 6, 3)).forecast_from == dt.date(2025, 6, 3)
