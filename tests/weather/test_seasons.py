"""Season years and ensemble members, held to a plain day-by-day reference."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import numpy as np
import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.weather.seasons import MIDSUMMER_SOUTH, Members, members, same_day, season_years
from advisor.weather.table import Source, WeatherTable

DATA = Path(__file__).parents[1] / "data" / "weather"


def numbered(first: str, count: int) -> WeatherTable:
    """A table whose maximum is the day's own number, so that every value tells its day."""
    days = np.datetime64(first) + np.arange(count)
    values = days.astype(np.int64).astype(np.float64)
    columns = {"air_max_c": values, "air_min_c": values - 1, "rain_mm": np.zeros(count)}
    return WeatherTable(days, columns, Source("w.csv", "own file", "us"))


def number(day: dt.date) -> float:
    return float((day - dt.date(1970, 1, 1)).days)


TEN_YEARS = numbered("2011-01-01", 3653)  # to 2020-12-31


@given(st.dates(dt.date(1900, 1, 1), dt.date(2100, 12, 31)), st.integers(-60, 60))
def test_same_day_agrees_with_dateutil(day: dt.date, years: int) -> None:
    moved = same_day(np.array([day], dtype="datetime64[D]"), years)[0].item()
    assert moved == day + relativedelta(years=years)


def test_season_years_start_at_midsummer_and_are_unknown_outside_the_record() -> None:
    seasons = season_years(TEN_YEARS, spin_up_days=10)
    assert seasons.years == tuple(range(2010, 2021))
    assert seasons.columns["air_max_c"].shape == (11, 376)
    row = seasons.years.index(2015)
    for at in (0, 10, 375):
        day = dt.date(2015, 6, 11) + dt.timedelta(at)
        assert seasons.days[row, at] == np.datetime64(day)
        assert seasons.columns["air_max_c"][row, at] == number(day)
    first = seasons.columns["air_max_c"][0]
    assert np.isnan(first[: (dt.date(2011, 1, 1) - dt.date(2010, 6, 11)).days]).all()
    assert np.array_equal(seasons.inside, ~np.isnan(seasons.columns["air_max_c"]))


def test_southern_seasons_start_in_december() -> None:
    seasons = season_years(TEN_YEARS, start=MIDSUMMER_SOUTH, length=365)
    assert seasons.years == tuple(range(2010, 2021))
    assert seasons.days[3, 0] == np.datetime64("2013-12-21")


def plain_members(on: dt.date, horizon: int, spin_up: int) -> dict[int, list[float]]:
    """One day at a time: this year's days up to `on`, then the same dates of a past year."""
    first, last = TEN_YEARS.first, TEN_YEARS.end
    season = on.year if on >= dt.date(on.year, 6, 21) else on.year - 1
    found = {}
    for back in range(1, 12):
        ahead = [on + dt.timedelta(d) + relativedelta(years=-back) for d in range(1, horizon + 1)]
        if all(first <= day <= min(on, last) for day in ahead):
            past = [on - dt.timedelta(d) for d in range(spin_up - 1, -1, -1)]
            own = [number(day) if day >= first else np.nan for day in past]
            found[season - back] = own + [number(day) for day in ahead]
    return dict(sorted(found.items()))


@settings(max_examples=60)
@given(
    st.dates(dt.date(2011, 1, 1), dt.date(2020, 12, 31)),
    st.integers(1, 400),
    st.integers(1, 400),
)
def test_members_agree_with_the_plain_reference(on: dt.date, horizon: int, spin_up: int) -> None:
    got = members(TEN_YEARS, on, horizon, spin_up)
    expected = plain_members(on, horizon, spin_up)
    assert got.years == tuple(expected)
    assert got.observed == spin_up
    assert got.columns["air_max_c"].shape == (len(expected), spin_up + horizon)
    for row, values in zip(got.columns["air_max_c"], expected.values(), strict=True):
        np.testing.assert_array_equal(row, values)


def borrowed(got: Members) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    return got.columns["air_max_c"][:, got.observed :]


@given(st.dates(dt.date(2012, 1, 1), dt.date(2020, 12, 31)), st.integers(1, 500))
@settings(max_examples=60)
def test_members_never_know_a_day_after_on(on: dt.date, horizon: int) -> None:
    got = members(TEN_YEARS, on, horizon, 30)
    assert np.all(got.columns["air_max_c"] <= number(on))


def test_less_than_one_full_past_year_gives_no_members() -> None:
    on = dt.date(2021, 9, 1)
    assert members(numbered("2020-09-03", 364), on, 30, 30).years == ()
    got = members(numbered("2020-09-02", 365), on, 30, 30)
    assert got.years == (2020,)
    assert borrowed(got)[0, 0] == number(dt.date(2020, 9, 2))
    empty = members(numbered("2021-06-01", 93), on, 30, 30)
    assert empty.columns["air_max_c"].shape == (0, 60)


def test_leap_day_is_borrowed_from_the_28th() -> None:
    got = members(TEN_YEARS, dt.date(2020, 2, 27), 3, 5)
    row = got.years.index(2014)
    days = [dt.date(2015, 2, 28), dt.date(2015, 2, 28), dt.date(2015, 3, 1)]
    assert list(borrowed(got)[row]) == [number(day) for day in days]


def test_stale_weather_is_borrowed_from_the_day_after_the_newest() -> None:
    got = members(numbered("2015-01-01", 2000), dt.date(2020, 7, 1), 10, 30)
    newest = dt.date(2015, 1, 1) + dt.timedelta(1999)  # 2020-06-22
    assert got.observed == 30 - (dt.date(2020, 7, 1) - newest).days
    day = newest + dt.timedelta(1) + relativedelta(years=-1)
    assert borrowed(got)[-1, 0] == number(day)


def test_a_year_can_be_left_out_and_later_ones_let_in() -> None:
    on = dt.date(2015, 9, 1)
    assert members(TEN_YEARS, on, 100, 30).years == (2011, 2012, 2013, 2014)
    assert members(TEN_YEARS, on, 100, 30, exclude_year=2012).years == (2011, 2013, 2014)
    both = members(TEN_YEARS, on, 100, 30, later_years_too=True)
    assert both.years == (2011, 2012, 2013, 2014, 2016, 2017, 2018, 2019, 2020)


@pytest.mark.parametrize(("horizon", "spin_up"), [(0, 5), (5, 0)])
def test_an_empty_axis_is_refused(horizon: int, spin_up: int) -> None:
    with pytest.raises(ValueError, match="at least one day"):
        members(TEN_YEARS, dt.date(2015, 1, 1), horizon, spin_up)
