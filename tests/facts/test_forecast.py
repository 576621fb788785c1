"""Rain to come: from a fresh forecast alone. All numbers are invented; the dates are the check."""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from advisor.facts.water_facts import rain_forecast
from advisor.weather.table import Source, WeatherTable

FIRST = dt.date(2026, 9, 1)
ISSUED = dt.date(2026, 9, 5)
RAIN = [0.0, 40.0, 3.0, 7.0, 1.0, 52.0, 9.0, np.nan, 80.0]


def table(issued: dt.date | None = ISSUED) -> WeatherTable:
    days = np.datetime64(FIRST) + np.arange(len(RAIN))
    columns = {"rain_mm": np.array(RAIN)}
    source = Source("x", "own file", "x")
    return WeatherTable(days, columns, source, forecast_from=issued, forecast_issued=issued)


@pytest.mark.parametrize(
    ("day", "rain"),
    [
        (4, None),  # not issued yet
        (5, 52.0),  # 1 mm today, 52 tomorrow
        (6, 52.0),  # 52 today, 9 tomorrow
        (7, None),  # two days old
    ],
)
def test_the_wetter_of_today_and_tomorrow(day: int, rain: float | None) -> None:
    assert rain_forecast(table(), dt.date(2026, 9, day)).value == rain


def test_observed_rain_is_no_forecast() -> None:
    later = table(dt.date(2026, 9, 3))
    assert rain_forecast(later, dt.date(2026, 9, 2)).value is None
    assert rain_forecast(later, dt.date(2026, 9, 3)).value == 7.0


def test_without_a_forecast_it_is_unknown() -> None:
    assert rain_forecast(None, ISSUED).note == "no forecast"
    assert rain_forecast(table(None), ISSUED).note == "no forecast"
    dry = table(dt.date(2026, 9, 8))
    assert rain_forecast(dry, dt.date(2026, 9, 8)).value == 80.0
    assert rain_forecast(table(dt.date(2026, 9, 9)), dt.date(2026, 9, 10)).value is None
