"""Reading our own CSV: headings, units, missing codes, order, and speed."""

from __future__ import annotations

import datetime as dt
import gzip
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

DATA = Path(__file__).parents[1] / "data"
TODAY = dt.date(2026, 6, 1)


def read(tmp_path: Path, text: str) -> WeatherTable:
    path = tmp_path / "weather.csv"
    path.write_text(text, encoding="utf-8")
    return read_weather(path, today=TODAY, shown_as="weather.csv")


def test_seattle_agrees_with_pandas() -> None:
    """1,461 days of NOAA data; pandas is the independent reader."""
    path = DATA / "ncei" / "seattle_2012_2015.csv"
    table = read_weather(path, today=TODAY)
    frame = pd.read_csv(path, comment="#", parse_dates=["date"])
    assert (table.first, table.last) == (dt.date(2012, 1, 1), dt.date(2015, 12, 31))
    assert table.years == (2012, 2013, 2014, 2015)
    for title, name in (
        ("max temp (C)", "air_max_c"),
        ("min temp (C)", "air_min_c"),
        ("rain (mm)", "rain_mm"),
    ):
        np.testing.assert_allclose(table.columns[name], frame[title].to_numpy(), atol=1e-9)
    assert np.array_equal(table.days, frame["date"].to_numpy().astype("datetime64[D]"))


@pytest.mark.parametrize(
    "header",
    [
        "date,max temp (F),min temp (F),rain (in)",
        "Date,Max Temp [°F],Min Temp [ºF],Rainfall (inches)",
        "day,high_F,low_F,precip_in",
        "date,TMAX (deg F),TMIN (deg F),PRCP (in/day)",
        "date,air max f,air min f,rain inches",
    ],
)
def test_headings_in_many_spellings(tmp_path: Path, header: str) -> None:
    table = read(tmp_path, f"{header}\n2025-06-21,86,50,0.5\n")
    # NIST SP 811 (2008), appendix B: 1 in = 25.4 mm exactly, °C = (°F - 32) / 1.8.
    assert [table.columns[n][0] for n in ("air_max_c", "air_min_c", "rain_mm")] == [30, 10, 12.7]


def test_canonical_names_are_headings(tmp_path: Path) -> None:
    header = (
        "date,air_max_c,air_min_c,rain_mm,radiation_mj,humidity_pct,humidity_max_pct,"
        "humidity_min_pct,dew_point_c,wind_m_s,soil_10cm_c,soil_5cm_c,snow_depth_mm"
    )
    table = read(tmp_path, f"{header}\n2025-06-21,30,10,1,20,60,90,40,12,3,18,19,0\n")
    values = {name: float(column[0]) for name, column in table.columns.items()}
    assert list(values) == header.split(",")[1:]
    assert list(values.values()) == [30, 10, 1, 20, 60, 90, 40, 12, 3, 18, 19, 0]


def test_other_units_and_the_height_of_the_wind_gauge(tmp_path: Path) -> None:
    text = "date,high (C),low (C),rain (cm),wind at 10 m (km/h),soil 4 in (F)\n"
    table = read(tmp_path, text + "2025-06-21,30,10,2,36,68\n")
    assert table.wind_height_m == 10.0
    assert table.columns["wind_m_s"][0] == pytest.approx(10.0)
    assert table.columns["rain_mm"][0] == pytest.approx(20.0)
    assert table.columns["soil_10cm_c"][0] == pytest.approx(20.0)
    assert read(tmp_path, "date,high (C),low (C)\n2025-06-21,30,10\n").wind_height_m == 2.0


def test_codes_for_missing_values_are_unknown_and_traces_are_nothing(tmp_path: Path) -> None:
    codes = ["", "NA", "nan", "M", "-9999", "9999", "-99", "-99.9", "-999", "null", "-"]
    rows = [f"2025-06-{day:02},{code},10,{code}" for day, code in enumerate(codes, 1)]
    rows.append("2025-06-12,20,10,T")
    table = read(tmp_path, "date,high (C),low (C),rain (mm)\n" + "\n".join(rows) + "\n")
    assert np.isnan(table.columns["air_max_c"][:-1]).all()
    assert np.isnan(table.columns["rain_mm"][:-1]).all()
    assert table.columns["rain_mm"][-1] == 0.0
    assert table.notes == ("1 trace of rain, read as 0",)


def test_the_published_records_themselves_are_accepted(tmp_path: Path) -> None:
    """WMO archive: 134 °F Death Valley, -128.6 °F Vostok, 71.8 in within 24 hours at Foc-Foc."""
    text = "date,high (F),low (F),rain (in)\n"
    table = read(tmp_path, text + "2025-06-21,134,90,71.8\n2025-06-22,-100,-128.6,0\n")
    assert table.columns["air_max_c"][0] == pytest.approx(56.7, abs=0.05)
    assert table.columns["air_min_c"][1] == pytest.approx(-89.2, abs=0.05)
    assert table.columns["rain_mm"][0] == pytest.approx(1825, abs=2)


def test_order_duplicates_and_holes_are_settled_and_told(tmp_path: Path) -> None:
    text = "# Invented for the demo.\ndate,high (C),low (C),mood\n"
    rows = "2025-06-05,25,15,good\n2025-06-01,21,11,bad\n2025-06-02,22,12,\n2025-06-02,22,12,x\n"
    table = read(tmp_path, text + rows)
    assert len(table) == 5
    np.testing.assert_array_equal(table.columns["air_max_c"], [21, 22, np.nan, np.nan, 25])
    assert table.notes == (
        "Invented for the demo.",
        "column 'mood' is not used",
        "the file has no rain; rain is unknown on all days",
        "the days were not in order; they were sorted",
        "1 day twice in the file with the same values; kept once",
        "2 days missing from the file",
    )
    assert table.source.attribution == "Invented for the demo."


def test_a_spike_is_noted_with_its_line(tmp_path: Path) -> None:
    rows = "2025-06-01,21,11\n2025-06-02,45,12\n2025-06-03,22,12\n2025-06-04,-2,-3\n"
    table = read(tmp_path, "date,high (C),low (C)\n" + rows + "2025-06-05,17,12\n")
    assert table.notes[-1] == (
        "weather.csv:3: 'high (C)' of 2025-06-02 differs from the days before and after by more "
        "than 20 °C; check it"
    )


@pytest.mark.parametrize("name", ["central_iowa", "champion_ne", "norfolk_uk"])
def test_real_records_have_no_oddities(tmp_path: Path, name: str) -> None:
    path = tmp_path / "weather.csv"
    path.write_bytes(gzip.decompress((DATA / "weather" / f"{name}.csv.gz").read_bytes()))
    assert read_weather(path, today=TODAY).notes == ()


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_any_line_ending_and_a_byte_order_mark(tmp_path: Path, end: str) -> None:
    path = tmp_path / "weather.csv"
    lines = ["date,high (C),low (C)", "", "2025-06-01,21,11", "2025-06-02,22,12"]
    path.write_bytes(b"\xef\xbb\xbf" + end.join(lines).encode())
    assert list(read_weather(path, today=TODAY).columns["air_max_c"]) == [21, 22]
