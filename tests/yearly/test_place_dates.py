"""Frost dates of Champion, Nebraska, against pandas reading the same record by the calendar, and
what small records are allowed to say.

pandas groups by calendar year and takes month and day; the program cuts season years of 366 days,
so a date after 29 February may differ by a day.
"""

from __future__ import annotations

import datetime as dt
from itertools import pairwise

import pandas as pd
import pytest

from advisor.facts.fact import Lawn
from advisor.render.yearly.place_dates import place_dates

FREEZE, FROST, HARD = 0.0, 20 / 9, -20 / 9


@pytest.fixture(scope="module")
def record(champion_lows, champion_year):
    return champion_lows[: champion_year.on.isoformat()]


def pandas_dates(record, limit, *, autumn):
    """10, 50 and 90 % of the day of the year of the first or last night at or under the limit."""
    months = record.index.month
    part = record[(months >= 8) if autumn else (months <= 6)]
    cold = part[part <= limit].index.to_series()
    first = cold.groupby(cold.dt.year).agg("min" if autumn else "max")
    if autumn:
        first = first[first.index < record.index[-1].year]
    return first.map(lambda day: day.replace(year=2001).day_of_year).quantile([0.1, 0.5, 0.9])


@pytest.mark.parametrize("limit", [FROST, FREEZE, HARD])
@pytest.mark.parametrize("kind", ["first_freeze", "last_freeze"])
def test_dates_agree_with_pandas(champion_year, record, kind, limit):
    found = next(d for d in champion_year.dates if d.kind == kind and d.limit_c == limit)
    autumn = kind == "first_freeze"
    expected = pandas_dates(record, limit, autumn=autumn)
    assert found.found.seasons == (36 if autumn else 37)
    for day, wanted in zip(found.by, expected, strict=True):
        assert day is not None
        assert abs(day.replace(year=2001).timetuple().tm_yday - wanted) <= 1.0


def test_a_date_that_has_come_this_season_is_told(champion_year, champion_lows):
    table = champion_year.case.weather
    on = dt.date(2018, 11, 20)
    found = place_dates(table, on, Lawn(40.4, 1030.0))
    first = next(d for d in found if d.kind == "first_freeze" and d.limit_c == 0.0)
    autumn = champion_lows["2018-08-01":"2018-11-20"]
    assert first.this_season == autumn[autumn <= 0].index[0].date()


def test_soil_dates_follow_the_order_of_the_year(champion_year):
    cooling = [d.by[1] for d in champion_year.dates if d.kind == "soil_under"]
    warming = [d.by[1] for d in champion_year.dates if d.kind == "soil_over"]
    assert all(day is not None for day in (*cooling, *warming))
    assert cooling == sorted(cooling)
    assert warming == sorted(warming)
    assert cooling[-1] < warming[0]


@pytest.mark.parametrize(
    ("years", "method"), [(2, "none"), (6, "rough"), (15, "normal"), (30, "empirical")]
)
def test_how_much_a_record_may_say(short_year, years, method):
    year = short_year(years * 365)
    freezes = [d for d in year.dates if d.kind == "first_freeze"]
    assert {d.found.method for d in freezes} == {method}
    assert all((d.intervals is not None) == (method == "empirical") for d in freezes)
    if method == "none":
        assert all(d.by == (None, None, None) for d in freezes)
        assert all(len(d.seen) == d.found.seasons > 0 for d in freezes)
    else:
        quantiles = [d.found.quantiles for d in freezes]
        for milder, colder in pairwise(quantiles):
            assert all(a <= b for a, b in zip(milder, colder, strict=True))


def test_growing_days_of_champion(champion_year, record):
    """Frost-free run: the longest gap between two freezes of a calendar year, by pandas."""
    full = record[: f"{record.index[-1].year - 1}-12-31"]
    runs = []
    for _, lows in full.groupby(full.index.year):
        cold = lows[lows <= 0].index.to_series()
        runs.append(cold.diff().dt.days.max() - 1)
    wanted = pd.Series(runs).quantile([0.1, 0.5, 0.9])
    found = champion_year.growing.frost_free
    assert found.seasons == len(runs)
    assert found.quantiles == pytest.approx(tuple(wanted))
