"""Own record, fetched history and forecast in one table, and the members that share a forecast."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.base.problems import BadInput
from advisor.facts.axis import build_axis
from advisor.weather.gaps import fill_gaps
from advisor.weather.join import join
from advisor.weather.kept_weather import (
    Fetched,
    forecast_path,
    history_path,
    read_forecast,
    read_history,
)
from advisor.weather.seasons import members
from advisor.weather.table import Source, WeatherTable

NAN = float("nan")
ON = dt.date(2020, 9, 5)


def numbered(first: str, count: int, plus: float = 0.0, who: str = "own") -> WeatherTable:
    """The maximum is the day's own number, so that every value tells its day and record."""
    days = np.datetime64(first) + np.arange(count)
    values = days.astype(np.int64).astype(np.float64) + plus
    columns = {"air_max_c": values, "air_min_c": values - 1, "rain_mm": np.full(count, plus)}
    return WeatherTable(days, columns, Source(f"{who}.csv", "own file", who))


def number(day: dt.date) -> float:
    return float((day - dt.date(1970, 1, 1)).days)


def fetched(table: WeatherTable, at: str = "2020-09-05T12:00:00+00:00") -> Fetched:
    when = dt.datetime.fromisoformat(at)
    return Fetched(table, table.source.attribution, when, {"issued": at})


def cut(table: WeatherTable, **cells: tuple[int, float]) -> WeatherTable:
    columns = {name: values.copy() for name, values in table.columns.items()}
    for name, (at, value) in cells.items():
        columns[name][at] = value
    return WeatherTable(table.days, columns, table.source, wind_height_m=table.wind_height_m)


OWN = numbered("2011-01-01", 3532)  # to 2020-09-01
STATION = numbered("2005-01-01", 5725, 0.25, "station")  # to 2020-09-03
AHEAD = numbered("2020-09-05", 7, 0.5, "forecast")  # to 2020-09-11


def test_each_day_comes_from_the_record_that_knows_it_best() -> None:
    table = join(OWN, fetched(STATION), fetched(AHEAD))
    assert (table.first, table.end) == (dt.date(2005, 1, 1), dt.date(2020, 9, 11))
    assert table.last == dt.date(2020, 9, 3)
    parts = table.columns["air_max_c"] % 1
    at = {name: table.index(dt.date.fromisoformat(name)) for name in (
        "2010-12-31", "2011-01-01", "2020-09-01", "2020-09-02", "2020-09-03", "2020-09-04",
        "2020-09-05", "2020-09-11",
    )}  # fmt: skip
    found = [parts[index] for index in at.values()]
    np.testing.assert_array_equal(found, [0.25, 0, 0, 0.25, 0.25, NAN, 0.5, 0.5])
    assert table.forecast_from == dt.date(2020, 9, 5)
    assert table.forecast_issued == ON
    assert table.source.attribution == "own; station; forecast"
    ages = [(origin.attribution, origin.last) for origin in table.origins]
    assert ages == [
        ("own", dt.date(2020, 9, 1)), ("station", dt.date(2020, 9, 3)), ("forecast", ON),
    ]  # fmt: skip
    assert [origin.forecast for origin in table.origins] == [False, False, True]


def test_temperatures_of_a_day_are_never_mixed_but_rain_is_filled_in() -> None:
    own = cut(OWN, air_min_c=(10, NAN), rain_mm=(11, NAN))
    table = join(own, fetched(STATION), None)
    at = table.index(dt.date(2011, 1, 11))
    assert table.columns["air_max_c"][at] % 1 == 0
    assert np.isnan(table.columns["air_min_c"][at])
    assert table.columns["rain_mm"][at : at + 2].tolist() == [0, 0.25]
    both = cut(cut(OWN, air_min_c=(10, NAN)), air_max_c=(10, NAN))
    table = join(both, fetched(STATION), None)
    assert table.columns["air_max_c"][at] % 1 == 0.25
    assert table.columns["air_min_c"][at] % 1 == 0.25


def test_wind_is_brought_to_the_height_of_the_own_gauge() -> None:
    """FAO-56, example 14: 3.2 m/s at 10 m are 2.4 m/s at 2 m."""
    days = np.datetime64("2020-01-01") + np.arange(2)
    source = Source("s.csv", "own file", "station")
    columns = {"air_max_c": np.full(2, 9.0), "wind_m_s": np.full(2, 3.2)}
    tall = WeatherTable(days, columns, source, wind_height_m=10.0)
    table = join(numbered("2020-01-01", 1), fetched(tall), None)
    assert table.wind_height_m == 2.0
    assert table.columns["wind_m_s"].round(1).tolist() == [2.4, 2.4]


def test_one_alone() -> None:
    assert join(OWN, None, None) is OWN
    assert join(None, fetched(STATION), None).source.attribution == "station"
    alone = join(None, None, fetched(AHEAD))
    assert alone.last is None
    assert alone.forecast_from == ON
    with pytest.raises(ValueError, match="nothing"):
        join(None, None, None)


def test_a_forecast_begins_behind_the_last_observed_day_and_not_before_it_was_issued() -> None:
    own = numbered("2011-01-01", 3537)  # to 2020-09-06
    table = join(own, None, fetched(AHEAD))
    assert table.forecast_from == dt.date(2020, 9, 7)
    early = numbered("2020-09-03", 9, 0.5, "forecast")
    assert join(OWN, None, fetched(early)).forecast_from == ON
    # 5 September, 2 am in UTC, is still the 4th in Seattle.
    night = fetched(early, "2020-09-05T02:00:00+00:00")
    table = join(OWN, None, night, "America/Los_Angeles")
    assert (table.forecast_from, table.forecast_issued) == (dt.date(2020, 9, 4),) * 2


def test_days_with_half_a_forecast_are_left_out() -> None:
    half = cut(cut(AHEAD, air_min_c=(0, NAN)), air_max_c=(3, NAN))
    half = cut(half, air_min_c=(6, NAN))
    table = join(OWN, None, fetched(half))
    assert table.forecast_from == dt.date(2020, 9, 6)
    assert table.end == dt.date(2020, 9, 10)
    at = table.index(dt.date(2020, 9, 8))
    assert np.isnan(table.columns["air_min_c"][at])
    over = numbered("2020-08-01", 3, 0.5, "forecast")
    assert join(OWN, None, fetched(over)).forecast_from is None


def test_a_forecast_is_known_from_the_day_it_was_issued() -> None:
    table = join(OWN, fetched(STATION), fetched(AHEAD))
    assert table.until(ON).end == dt.date(2020, 9, 11)
    late = table.until(dt.date(2020, 9, 8))
    assert late.end == dt.date(2020, 9, 11)
    assert late.last == dt.date(2020, 9, 3)
    before = table.until(dt.date(2020, 9, 4))
    assert before.end == dt.date(2020, 9, 4)
    assert before.forecast_from is None
    assert [origin.attribution for origin in before.origins] == ["own", "station"]
    assert table.years == tuple(range(2005, 2020))


def test_days_observed_since_are_hidden_but_the_older_forecast_is_not() -> None:
    own = numbered("2011-01-01", 3540)  # to 2020-09-09
    then = join(own, None, fetched(AHEAD)).until(dt.date(2020, 9, 6))
    known = ~np.isnan(then.columns["air_max_c"])
    assert then.days[known][-3:].tolist() == [
        dt.date(2020, 9, 6), dt.date(2020, 9, 10), dt.date(2020, 9, 11),
    ]  # fmt: skip


def test_all_members_share_the_forecast() -> None:
    table = fill_gaps(join(OWN, fetched(STATION), fetched(AHEAD)).until(ON))
    got = members(table, ON, 30, 40)
    assert got.days[got.observed - 1] == np.datetime64("2020-09-03")
    first, end = got.foreseen
    assert got.days[[first, end - 1]].tolist() == [dt.date(2020, 9, 5), dt.date(2020, 9, 11)]
    high = got.columns["air_max_c"]
    for day in range(5, 12):
        at = got.observed + day - 4
        assert set(high[:, at]) == {number(dt.date(2020, 9, day)) + 0.5}
    # 4 September lies between the record and the forecast: interpolated, for all the same.
    assert len(set(high[:, got.observed])) == 1
    # From the 12th on every member has its own year.
    assert len(set(high[:, got.observed + 8])) == len(got.years)


def test_what_the_forecast_leaves_open_is_borrowed() -> None:
    dry = cut(AHEAD, rain_mm=(6, NAN))
    table = join(OWN, None, fetched(dry)).until(ON)
    got = members(table, ON, 30, 40)
    rain = got.columns["rain_mm"]
    last = int(np.flatnonzero(got.days == np.datetime64("2020-09-11"))[0])
    assert set(rain[:, last - 1]) == {0.5}
    assert set(rain[:, last]) == {0.0}


def test_an_axis_with_a_forecast() -> None:
    table = join(OWN, None, fetched(AHEAD))
    axis = build_axis(table, None, ON, 41.0)
    assert axis is not None
    at = axis.index(dt.date(2020, 9, 7))
    assert set(axis.columns["air_max_c"][:, at]) == {number(dt.date(2020, 9, 7)) + 0.5}
    # The record ends four days before: what is observed does not grow by a forecast.
    assert axis.date(axis.observed - 1) == dt.date(2020, 9, 1)
    then = build_axis(table, None, dt.date(2020, 9, 4), 41.0)
    plain = build_axis(OWN, None, dt.date(2020, 9, 4), 41.0)
    assert then is not None
    assert plain is not None
    for name, values in plain.columns.items():
        np.testing.assert_array_equal(then.columns[name], values)


@settings(max_examples=40)
@given(st.dates(dt.date(2016, 1, 1), dt.date(2020, 9, 20)), st.integers(1, 400))
def test_only_a_forecast_made_by_then_looks_ahead(on: dt.date, horizon: int) -> None:
    table = join(OWN, None, fetched(AHEAD)).until(on)
    got = members(table, on, horizon, 30)
    known = got.columns["air_max_c"][~np.isnan(got.columns["air_max_c"])]
    ahead = known[known % 1 == 0.5]
    if on < ON:
        assert not len(ahead)
    assert np.all(known[known % 1 == 0] <= number(on))


FILE = """\
# A station, for a test
# fetched: 2020-09-05T12:00:00+00:00
# station: X: Y
date,max temp (C),min temp (C),rain (mm)
2020-09-05,20,10,0
2020-09-06,21,,
"""


def test_fetched_files_are_read(tmp_path) -> None:
    assert read_history(history_path(tmp_path), ON) is None
    assert read_forecast(forecast_path(tmp_path)) is None
    (tmp_path / "fetched").mkdir()
    forecast_path(tmp_path).write_text(FILE)
    found = read_forecast(forecast_path(tmp_path))
    assert found is not None
    assert found.attribution == "A station, for a test"
    assert found.details["station"] == "X: Y"
    assert found.issued == dt.datetime(2020, 9, 5, 12, tzinfo=dt.UTC)
    assert found.table.columns["air_max_c"].tolist() == [20, 21]
    # A history has no days to come, but for those that a clock set back makes so.
    history_path(tmp_path).write_text(FILE)
    assert read_history(history_path(tmp_path), dt.date(2020, 9, 4)) is not None
    with pytest.raises(BadInput, match="lies in the future"):
        read_history(history_path(tmp_path), dt.date(2020, 9, 1))


@pytest.mark.parametrize(
    ("found", "written"),
    [
        ("# fetched: 2020-09-05T12:00:00+00:00\n", ""),
        ("fetched: 2020-09-05T12:00:00+00:00", "fetched: yesterday"),
        ("fetched: 2020-09-05T12:00:00+00:00", "fetched: 2020-09-05T12:00:00"),
        ("station: X: Y", "expires: soon"),
    ],
)
def test_a_fetched_file_without_its_times_is_refused(tmp_path, found, written) -> None:
    (tmp_path / "fetched").mkdir()
    forecast_path(tmp_path).write_text(FILE.replace(found, written))
    with pytest.raises(
        BadInput, match=f"delete the file and run 'advisor weather {tmp_path}' again"
    ):
        read_forecast(forecast_path(tmp_path))
