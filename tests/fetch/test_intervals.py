"""Intervals and local days, held to pandas and to plain arithmetic."""

from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import numpy as np
import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.fetch.intervals import Span, days_of, extremes, means, read_interval, sums

NEW_YORK = ZoneInfo("America/New_York")
START = dt.datetime(2026, 3, 6, 5, tzinfo=dt.UTC)  # midnight in New York


def hours(count: float) -> dt.timedelta:
    return dt.timedelta(hours=count)


def test_the_example_of_the_documentation():
    """The interval that the gridpoint documentation of the service explains."""
    start, end = read_interval("2019-07-04T18:00:00+00:00/PT3H")
    assert start == dt.datetime(2019, 7, 4, 18, tzinfo=dt.UTC)
    assert end == dt.datetime(2019, 7, 4, 21, tzinfo=dt.UTC)


@given(st.integers(0, 20), st.integers(0, 99), st.integers(0, 59), st.integers(1, 59))
def test_durations_agree_with_pandas(days, some_hours, minutes, seconds):
    duration = f"P{days}DT{some_hours}H{minutes}M{seconds}S"
    start, end = read_interval(f"2026-01-01T00:00:00Z/{duration}")
    assert end - start == pd.Timedelta(duration).to_pytimedelta()


@pytest.mark.parametrize("duration", ["P1D", "P1DT6H", "PT13H", "PT30M", "P7DT20H"])
def test_durations_that_occur(duration):
    start, end = read_interval(f"2026-01-01T07:00:00-05:00/{duration}")
    assert start == dt.datetime(2026, 1, 1, 12, tzinfo=dt.UTC)
    assert end - start == pd.Timedelta(duration).to_pytimedelta()


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("2026-01-01T00:00:00Z", "no start and duration"),
        ("2026-01-01T00:00:00Z/6H", "no start and duration"),
        ("2026-01-01T00:00:00Z/2026-01-02T00:00:00Z", "no start and duration"),
        ("yesterday/PT6H", "no date and time"),
        ("2026-01-01T00:00:00/PT6H", "no time zone"),
        ("2026-01-01T00:00:00Z/PT0H", "no length"),
        ("2026-01-01T00:00:00Z/P", "no length"),
        ("2026-01-01T00:00:00Z/P300D", "no length"),
        ("0001-01-01T00:00:00+14:00/PT1H", "no time of a forecast"),
        ("9999-12-31T23:00:00Z/P29D", "no time of a forecast"),
    ],
)
def test_what_is_no_interval(text, said):
    with pytest.raises(ValueError, match=said):
        read_interval(text)


spans = st.lists(
    st.tuples(st.integers(0, 96), st.integers(1, 30), st.floats(0, 50)), min_size=1, max_size=8
).map(lambda all_: [Span(START + hours(a), START + hours(a + n), v) for a, n, v in all_])


@given(spans)
def test_rain_is_spread_by_the_hour(given_spans):
    """Hour by hour, over the change of clocks of 8 March 2026, a day of 23 hours."""
    days = days_of(given_spans, NEW_YORK)
    got = sums(given_spans, days, NEW_YORK)
    for day, amount in zip(days, got, strict=True):
        plain, covered, length = 0.0, 0, 0
        moment = START - hours(24)
        while moment < START + hours(200):
            if moment.astimezone(NEW_YORK).date() == day:
                length += 1
                for span in given_spans:
                    if span.start <= moment < span.end:
                        plain += span.value / span.hours
                        covered += 1
            moment += hours(1)
        assert length == (23 if day == dt.date(2026, 3, 8) else 24)
        if covered < length - 1:
            assert np.isnan(amount)
        else:
            assert amount == pytest.approx(plain)


@given(spans)
def test_no_day_is_left_out(given_spans):
    days = days_of(given_spans, NEW_YORK)
    for span in given_spans:
        assert span.start.astimezone(NEW_YORK).date() in days
        assert (span.end - hours(1)).astimezone(NEW_YORK).date() in days
    assert len(days) == (days[-1] - days[0]).days + 1


def test_the_low_of_a_night_belongs_to_the_morning():
    night = Span(START + hours(19), START + hours(33), -4.0)  # 7 pm to 9 am
    days = days_of([night], NEW_YORK)
    low = extremes([night], days, NEW_YORK, 5, highest=False)
    assert days == [dt.date(2026, 3, 6), dt.date(2026, 3, 7)]
    np.testing.assert_array_equal(low, [np.nan, -4.0])


def test_a_late_rest_of_a_day_and_merged_days():
    rest = Span(START + hours(17), START + hours(20), 9.0)  # 5 to 8 pm
    merged = Span(START + hours(31), START + hours(68), 12.0)  # 7 am to 8 pm two days on
    days = days_of([rest, merged], NEW_YORK)
    high = extremes([rest, merged], days, NEW_YORK, 15, highest=True)
    assert high.tolist() == [9.0, 12.0, 12.0]


def test_means_are_weighted_and_need_twenty_hours():
    two = [Span(START, START + hours(6), 40.0), Span(START + hours(6), START + hours(24), 80.0)]
    days = [dt.date(2026, 3, 6), dt.date(2026, 3, 7)]
    np.testing.assert_allclose(means(two, days, NEW_YORK), [70.0, np.nan])
    short = [Span(START, START + hours(19), 40.0)]
    assert np.isnan(means(short, days, NEW_YORK)).all()
