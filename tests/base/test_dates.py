"""Season years, dates in words, and the clock in the site's zone."""

from __future__ import annotations

import datetime as dt

import pytest
from freezegun import freeze_time
from hypothesis import given
from hypothesis import strategies as st

from advisor.base.dates import now_utc, say_date, season_start, today


@pytest.mark.parametrize(
    ("day", "latitude", "wanted"),
    [
        ((2026, 6, 21), 41, (2026, 6, 21)),
        ((2026, 6, 20), 41, (2025, 6, 21)),
        ((2027, 1, 10), 41, (2026, 6, 21)),
        ((2026, 12, 21), -43.5, (2026, 12, 21)),
        ((2026, 12, 20), -43.5, (2025, 12, 21)),
        ((2026, 3, 5), -43.5, (2025, 12, 21)),
    ],
)
def test_season_year_begins_at_midsummer(
    day: tuple[int, int, int], latitude: float, wanted: tuple[int, int, int]
) -> None:
    assert season_start(dt.date(*day), latitude) == dt.date(*wanted)


@given(st.dates(dt.date(1901, 1, 1), dt.date(2100, 1, 1)), st.floats(-60, 60))
def test_every_day_lies_in_its_season_year(day: dt.date, latitude: float) -> None:
    start = season_start(day, latitude)
    assert dt.timedelta(0) <= day - start < dt.timedelta(366)


def test_today_is_that_of_the_zone() -> None:
    with freeze_time("2026-09-05 23:30:00"):
        assert today("Pacific/Auckland") == dt.date(2026, 9, 6)
        assert today("America/New_York") == dt.date(2026, 9, 5)
        assert now_utc() == dt.datetime(2026, 9, 5, 23, 30, tzinfo=dt.UTC)


def test_dates_in_words() -> None:
    assert say_date(dt.date(2026, 9, 5), relative_to=dt.date(2026, 1, 1)) == "5 Sep"
    assert say_date(dt.date(2027, 3, 5), relative_to=dt.date(2026, 1, 1)) == "5 Mar 2027"
    assert say_date(dt.date(2026, 9, 5)) == "5 Sep"
