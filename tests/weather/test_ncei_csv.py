"""Reading daily summaries of the National Centers for Environmental Information."""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from advisor.base.problems import BadInput
from advisor.weather.ncei_units import NceiUnits
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

NCEI = Path(__file__).parents[1] / "data" / "ncei"
TODAY = dt.date(2026, 6, 1)


def write(path: Path, header: list[str], rows: list[list[object]]) -> Path:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file, quoting=csv.QUOTE_ALL)
        writer.writerow(header)
        writer.writerows(rows)
    return path


def seattle(tmp_path: Path, system: NceiUnits, days: slice = slice(None)) -> Path:
    """The Seattle record in the shape of an NCEI file, in one of the three unit systems."""
    frame = pd.read_csv(NCEI / "seattle_2012_2015.csv", comment="#").iloc[days]
    high, low, rain = frame["max temp (C)"], frame["min temp (C)"], frame["rain (mm)"]
    if system == "standard":
        high, low, rain = (round(high * 1.8 + 32), round(low * 1.8 + 32), round(rain / 25.4, 2))
    if system == "tenths":
        high, low, rain = (round(x * 10).astype(int) for x in (high, low, rain))
    rows = [["USW00024233", "SEATTLE", *r] for r in zip(frame["date"], rain, high, low)]  # noqa: B905
    return write(tmp_path / "n.csv", ["STATION", "NAME", "DATE", "PRCP", "TMAX", "TMIN"], rows)


def test_lincoln_as_published_is_recognised_as_fahrenheit() -> None:
    """The file is as the service wrote it; 17 June is blank in it."""
    path = NCEI / "lincoln_2016.csv"
    table = read_weather(path, today=TODAY)
    frame = pd.read_csv(path)
    np.testing.assert_allclose(
        table.columns["air_max_c"], (frame["TMAX"] - 32) / 1.8, atol=1e-5, equal_nan=True
    )
    assert np.isnan(table.columns["air_min_c"][168])
    assert table.days[168] == np.datetime64("2016-06-17")
    assert table.source.attribution.endswith("station USW00094996 LINCOLN 11 SW, NE US")
    assert table.notes == (
        "units found to be 'standard' (°F and inches), since not °C and mm: TMAX 72 is beyond the "
        "world record; not tenths of °C and mm: the warmest of 365 days would have 10 °C",
    )


@pytest.mark.parametrize("system", ["standard", "metric", "tenths"])
def test_the_same_year_is_understood_in_each_unit_system(tmp_path: Path, system: NceiUnits) -> None:
    truth = read_weather(NCEI / "seattle_2012_2015.csv", today=TODAY)
    table = read_weather(seattle(tmp_path, system), today=TODAY)
    assert f"units found to be '{system}'" in table.notes[0]
    tolerance = {"standard": 0.28, "metric": 1e-9, "tenths": 1e-9}[system]  # rounded to 1 °F
    for name in ("air_max_c", "air_min_c", "rain_mm"):
        np.testing.assert_allclose(table.columns[name], truth.columns[name], atol=tolerance)


def test_five_days_do_not_tell_their_units_and_the_setting_decides(tmp_path: Path) -> None:
    path = seattle(tmp_path, "metric", slice(0, 5))
    with pytest.raises(BadInput, match=r"could be 'standard' .* or 'metric'"):
        read_weather(path, today=TODAY)
    table = read_weather(path, units="metric", today=TODAY)
    assert table.columns["air_max_c"][0] == pytest.approx(12.8)
    assert table.notes[0] == "units 'metric' (°C and mm) as set for this site"


def flagged(tmp_path: Path) -> WeatherTable:
    """Attributes are measurement, quality, source, time, in this order (GHCN-Daily readme)."""
    header = [
        "DATE", "TMIN_ATTRIBUTES", "TMIN", "STATION", "TMAX", "TMAX_ATTRIBUTES", "PRCP",
        "PRCP_ATTRIBUTES", "AWND", "SNWD",
    ]  # fmt: skip
    rows: list[list[object]] = [
        ["2025-07-01", ",,W,2400", 15.5, "USX", 30.5, ",,W,2400", 0, "T,,W,2400", 4.0, 0],
        ["2025-07-02", ",I,W,2400", 15.5, "USX", 30.5, ",,W", 2.5, ",,W", "", 5],
        ["2025-07-03", ",,W", 15.5, "USX", 30.5, ",X,W", 99.5, ",G,W", 3.0, ""],
        ["2025-07-04", ",,W", 15.5, "USX", 12.5, ",,W", 1.5, "", 3.0, ""],
    ]
    return read_weather(write(tmp_path / "n.csv", header, rows), units="metric", today=TODAY)


def test_values_that_failed_a_quality_check_are_dropped_and_counted(tmp_path: Path) -> None:
    table = flagged(tmp_path)
    nan = np.nan
    np.testing.assert_array_equal(table.columns["air_max_c"], [30.5, 30.5, nan, nan])
    np.testing.assert_array_equal(table.columns["air_min_c"], [15.5, nan, 15.5, nan])
    np.testing.assert_array_equal(table.columns["rain_mm"], [0, 2.5, nan, 1.5])
    assert table.notes[:4] == (
        "1 value of TMAX failed a quality check; dropped",
        "1 value of TMIN failed a quality check; dropped",
        "1 value of PRCP failed a quality check; dropped",
        "1 day with TMAX below TMIN; both dropped",
    )


def test_wind_and_snow_come_along(tmp_path: Path) -> None:
    table = flagged(tmp_path)
    np.testing.assert_array_equal(table.columns["wind_m_s"], [4, np.nan, 3, 3])
    np.testing.assert_array_equal(table.columns["snow_depth_mm"], [0, 5, np.nan, np.nan])
    assert table.wind_height_m == 10.0
