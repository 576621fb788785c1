"""Hourly rows made into days, on a real year (tests/weather/data/README.md)."""

from __future__ import annotations

import datetime as dt
import gzip
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from advisor.base.checked_model import check_document
from advisor.base.strict_yaml import load_text
from advisor.records.check_site import as_record
from advisor.records.sections import WeatherColumns
from advisor.records.weather_column_keys import WeatherColumnsKeys
from advisor.weather.hourly import FEWEST_HOURS
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

HERE = Path(__file__).parent
JFK = gzip.decompress((HERE / "data" / "jfk_2013_hourly.csv.gz").read_bytes()).decode()
LINES = JFK.splitlines(keepends=True)
MAPPING = as_record(
    check_document(
        WeatherColumnsKeys,
        load_text(
            'date: date\ntime: hour\ndate_format: "%Y-%m-%d %H"\nhourly: yes\n'
            "air: {column: temp, unit: F}\nrain: {column: precip, unit: in}\n"
            'humidity: {column: humid, unit: "%"}\ndew_point: {column: dewp, unit: F}\n',
            "site.yaml",
        ),
    ),
    WeatherColumns,
)
BASIC = ("air_max_c", "air_min_c", "rain_mm")


def read(tmp_path: Path, lines: list[str]) -> WeatherTable:
    path = tmp_path / "weather.csv"
    path.write_text("".join(lines), encoding="utf-8")
    return read_weather(path, today=dt.date(2026, 6, 1), shown_as="weather.csv", columns=MAPPING)


def of_day(day: str) -> list[int]:
    return [at for at, line in enumerate(LINES) if line.startswith(day)]


@pytest.fixture(scope="module")
def table(tmp_path_factory: pytest.TempPathFactory) -> WeatherTable:
    return read(tmp_path_factory.mktemp("jfk"), LINES)


def test_days_agree_with_pandas(table: WeatherTable) -> None:
    """pandas by the calendar date of the text, days with 20 known hours."""
    frame = pd.read_csv(HERE / "data" / "jfk_2013_hourly.csv.gz").astype({"hour": int})
    hours = frame.groupby("date")["hour"].nunique()
    assert hours.min() == 19
    whole = frame[frame["date"].map(hours) >= 20].groupby("date")
    days = whole["temp"].max().index
    at = [table.index(dt.date.fromisoformat(day)) for day in days]
    assert len(at) == len(table) == 363
    by_hour = frame.groupby(["date", "hour"])[["humid", "dewp"]].mean().groupby("date").mean()
    for name, values in {
        "air_max_c": (whole["temp"].max() - 32) / 1.8,
        "air_min_c": (whole["temp"].min() - 32) / 1.8,
        "rain_mm": whole["precip"].sum() * 25.4,
        "humidity_max_pct": whole["humid"].max(),
        "humidity_min_pct": whole["humid"].min(),
        "humidity_pct": by_hour.loc[days, "humid"],
        "dew_point_c": (by_hour.loc[days, "dewp"] - 32) / 1.8,
    }.items():
        np.testing.assert_allclose(table.columns[name][at], values, atol=2e-6, err_msg=name)


def test_days_agree_with_the_daily_record_of_the_same_city(table: WeatherTable) -> None:
    """NOAA's daily record of New York (tests/data/weather/README.md), whose 2013 proves to be this
    airport's. Hourly readings miss the true extremes by a few tenths of a degree, never beyond
    rounding on the other side of them; shifted by a day the two would differ by about 3 °C."""
    path = HERE.parent / "data" / "weather" / "new_york_ny.csv.gz"
    daily = pd.read_csv(path, index_col="date", parse_dates=True).loc["2013-01-02":"2013-12-29"]
    at = [table.index(day.date()) for day in daily.index]
    high, low, rain = (table.columns[name][at] for name in BASIC)
    assert np.mean(np.abs(high - daily["air_max_c"])) < 0.5
    assert np.mean(np.abs(low - daily["air_min_c"])) < 0.5
    assert np.mean(high - daily["air_max_c"]) < -0.3
    assert np.mean(low - daily["air_min_c"]) > 0.2
    assert np.corrcoef(rain, daily["rain_mm"])[0, 1] > 0.97
    assert rain.sum() == pytest.approx(daily["rain_mm"].sum(), rel=0.05)


def test_what_was_found_is_said(table: WeatherTable) -> None:
    """A day of 23 hours is whole where the clocks go forward; it is let pass everywhere."""
    hours = pd.Series([line.rsplit(",", 4)[0] for line in LINES[1:]]).drop_duplicates()
    in_day = hours.str[:10].value_counts()
    low = int(((in_day >= 20) & (in_day < 23)).sum())
    assert low > 0
    assert table.notes == (
        "1 hour twice, as when clocks go back; both kept",
        "1 day with fewer than 20 hours of 'temp'; unknown",
        "1 day with fewer than 20 hours of 'precip'; unknown",
        "1 day with fewer than 20 hours of 'humid'; unknown",
        "1 day with fewer than 20 hours of 'dewp'; unknown",
        f"{low} days without all hours of rain; the sums may be low",
    )


@pytest.mark.parametrize("known", [FEWEST_HOURS - 1, FEWEST_HOURS])
def test_a_day_needs_twenty_hours(tmp_path: Path, known: int) -> None:
    gone = set(of_day("2013-07-04")[known:])
    lines = [line for at, line in enumerate(LINES) if at not in gone]
    table = read(tmp_path, lines)
    at = table.index(dt.date(2013, 7, 4))
    unknown = {bool(np.isnan(table.columns[name][at])) for name in BASIC}
    assert unknown == {known < FEWEST_HOURS}


def test_each_quantity_has_its_own_twenty_hours(tmp_path: Path) -> None:
    """Rain blank in five hours of a day leaves the temperatures of that day known."""
    lines = list(LINES)
    for at in of_day("2013-07-04")[3:8]:
        lines[at] = lines[at].rsplit(",", 1)[0] + ",\n"
    table = read(tmp_path, lines)
    at = table.index(dt.date(2013, 7, 4))
    assert [bool(np.isnan(table.columns[name][at])) for name in BASIC] == [False, False, True]


def test_readings_each_half_hour_count_as_one_hour(tmp_path: Path) -> None:
    """Nineteen hours with two readings each are no twenty hours."""
    mapping = as_record(
        check_document(
            WeatherColumnsKeys,
            load_text(
                'date: t\ndate_format: "%Y-%m-%d %H:%M"\nhourly: yes\nair: {column: T, unit: C}\n',
                "f",
            ),
        ),
        WeatherColumns,
    )
    path = tmp_path / "w.csv"
    rows = [
        f"2025-06-{day} {hour:02}:{minute:02},{hour + minute / 100}"
        for day, hours in ((21, 19), (22, 20))
        for hour in range(hours)
        for minute in (0, 30)
    ]
    path.write_text("t,T\n" + "\n".join(rows) + "\n")
    table = read_weather(path, today=dt.date(2026, 6, 1), columns=mapping)
    assert (table.first, table.end) == (dt.date(2025, 6, 22), dt.date(2025, 6, 22))
    assert [float(table.columns[name][0]) for name in BASIC[:2]] == [19.3, 0.0]


def test_a_reading_that_stands_twice_rains_once(tmp_path: Path, table: WeatherTable) -> None:
    wet = max(range(1, len(LINES)), key=lambda at: float(LINES[at].rsplit(",", 1)[1]))
    doubled = read(tmp_path, [*LINES[: wet + 1], LINES[wet], *LINES[wet + 1 :]])
    np.testing.assert_array_equal(doubled.columns["rain_mm"], table.columns["rain_mm"])
    assert "1 reading twice in the file with the same values; kept once" in doubled.notes


def test_an_odd_day_is_named_at_its_first_hour(tmp_path: Path) -> None:
    lines, day = list(LINES), of_day("2013-07-04")
    for at in day:
        date, hour, temp, *rest = lines[at].split(",")
        lines[at] = ",".join([date, hour, str(float(temp) - 45), *rest])
    notes = read(tmp_path, lines).notes
    assert notes[-2:] == (
        f"weather.csv:{day[0] + 1}: 'temp, daily maximum temperature' of 2013-07-04 differs from "
        "the days before and after by more than 20 °C; check it",
        f"weather.csv:{day[0] + 1}: 'temp, daily minimum temperature' of 2013-07-04 differs from "
        "the days before and after by more than 20 °C; check it",
    )


def test_order_does_not_matter(tmp_path: Path, table: WeatherTable) -> None:
    turned = read(tmp_path, [LINES[0], *reversed(LINES[1:])])
    for name, values in table.columns.items():
        np.testing.assert_allclose(turned.columns[name], values, atol=1e-9)


def test_ten_years_of_hours_are_read(tmp_path: Path) -> None:
    lines = [LINES[0]] + [
        line.replace("2013", str(year), 1) for year in range(2013, 2023) for line in LINES[1:]
    ]
    assert len(read(tmp_path, lines).years) == 10
