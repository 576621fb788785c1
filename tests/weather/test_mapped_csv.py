"""A CSV of another make, described in site.yaml, gives the same record as the known formats."""

from __future__ import annotations

import datetime as dt
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import pytest

from advisor.base.checked_model import check_document
from advisor.base.strict_yaml import load_text
from advisor.cases.open_folder import open_case
from advisor.records.check_site import as_record
from advisor.records.sections import WeatherColumns
from advisor.records.weather_column_keys import WeatherColumnsKeys
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.columns import ColumnMapping
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

NCEI = Path(__file__).parents[1] / "data" / "ncei"
SEATTLE = NCEI / "seattle_2012_2015.csv"
TODAY = dt.date(2026, 6, 1)
GERMAN = """\
date: Tag
date_format: "%d.%m.%Y"
separator: ";"
decimal: ","
skip_rows: 2
missing: [n.b.]
air_max: {column: "T max [F]", unit: F}
air_min: {column: "T min", unit: C}
rain: {column: Regen, unit: cm}
"""


def columns(text: str) -> ColumnMapping:
    return as_record(
        check_document(WeatherColumnsKeys, load_text(text, "site.yaml")), WeatherColumns
    )


def read(tmp_path: Path, mapping: str, text: str) -> WeatherTable:
    path = tmp_path / "weather.csv"
    path.write_text(text, encoding="utf-8")
    return read_weather(path, today=TODAY, shown_as="weather.csv", columns=columns(mapping))


def in_german() -> str:
    """The Seattle record with semicolons, decimal commas, other units, order and dates."""
    frame = pd.read_csv(SEATTLE, comment="#", parse_dates=["date"])
    out = pd.DataFrame(
        {
            "Wind": 3,
            "Regen": frame["rain (mm)"] / 10,
            "T min": frame["min temp (C)"],
            "Tag": frame["date"].dt.strftime("%d.%m.%Y"),
            "T max [F]": (frame["max temp (C)"] * 1.8 + 32).round(6),
        }
    ).astype(str)
    for title in ("Regen", "T min", "T max [F]"):
        out[title] = out[title].str.replace(".", ",")
    out.loc[[5, 900], "Regen"] = "n.b."
    out.loc[7, "Regen"] = "T"
    body = out.to_csv(sep=";", index=False)
    return "Messstelle;Seattle\nohne Gewähr\n# NOAA\n" + body


def test_seattle_in_another_spelling(tmp_path: Path) -> None:
    table = read(tmp_path, GERMAN, in_german())
    truth = read_weather(SEATTLE, today=TODAY)
    assert np.array_equal(table.days, truth.days)
    rain = truth.columns["rain_mm"].copy()
    rain[[5, 900]], rain[7] = np.nan, 0.0
    np.testing.assert_allclose(table.columns["air_max_c"], truth.columns["air_max_c"], atol=1e-5)
    np.testing.assert_array_equal(table.columns["air_min_c"], truth.columns["air_min_c"])
    np.testing.assert_allclose(table.columns["rain_mm"], rain, atol=1e-6)
    assert table.notes == ("NOAA", "1 trace of rain, read as 0")
    assert table.source.attribution == "NOAA"


def test_pandas_reads_the_same(tmp_path: Path) -> None:
    """pandas with its own options for separator, decimal mark, missing codes and dates."""
    text = in_german()
    table = read(tmp_path, GERMAN, text)
    frame = pd.read_csv(
        tmp_path / "weather.csv", sep=";", decimal=",", skiprows=3, na_values=["n.b."],
        parse_dates=["Tag"], date_format="%d.%m.%Y",
    ).replace("T", "0")  # fmt: skip
    rain = frame["Regen"].astype(str).str.replace(",", ".").astype(float) * 10
    np.testing.assert_allclose(table.columns["rain_mm"], rain, atol=1e-6)
    np.testing.assert_allclose(
        table.columns["air_max_c"], (frame["T max [F]"] - 32) / 1.8, atol=1e-6
    )
    assert np.array_equal(table.days, frame["Tag"].to_numpy().astype("datetime64[D]"))


def test_an_ncei_file_read_by_a_mapping_is_the_same_record() -> None:
    path = NCEI / "lincoln_2016.csv"
    mapping = columns(
        "date: DATE\nair_max: {column: TMAX, unit: F}\nair_min: {column: TMIN, unit: F}\n"
    )
    table, truth = (read_weather(path, today=TODAY, columns=c) for c in (mapping, None))
    for name in ("air_max_c", "air_min_c"):
        np.testing.assert_array_equal(table.columns[name], truth.columns[name])
    assert table.notes == ("the file has no rain; rain is unknown on all days",)


@pytest.mark.parametrize(
    ("separator", "text"),
    [
        ("tab", 'd\thi\tlo\n2025-06-21\t"30,5"\t15\n'),
        ('"\\t"', "d\thi\tlo\n2025-06-21\t30,5\t15\n"),
        ("bar", "d|hi|lo\n2025-06-21|30,5|15\n"),
        ("comma", 'd,hi,lo\n2025-06-21,"30,5",15\n'),
        ('";"', "d ; hi ; lo\n2025-06-21 ; 30,5 ; 15\n"),
    ],
)
def test_separators(tmp_path: Path, separator: str, text: str) -> None:
    table = read(
        tmp_path,
        f'date: d\nseparator: {separator}\ndecimal: ","\nair_max: {{column: hi, unit: C}}\n'
        "air_min: {column: lo, unit: C}\n",
        text,
    )
    assert [float(table.columns[n][0]) for n in ("air_max_c", "air_min_c")] == [30.5, 15.0]


def test_every_column_and_the_height_of_the_gauge(tmp_path: Path) -> None:
    """Conversions: NIST SP 811 (2008), appendix B; 1 W/m² over a day is 0.0864 MJ/m²."""
    units: dict[str, tuple[str, str, Any, float]] = {
        "air_max": ("C", "30", "air_max_c", 30.0),
        "air_min": ("F", "50", "air_min_c", 10.0),
        "rain": ("in", "0.5", "rain_mm", 12.7),
        "radiation": ("W/m2", "250", "radiation_mj", 21.6),
        "humidity": ('"%"', "60", "humidity_pct", 60.0),
        "humidity_max": ('"%"', "90", "humidity_max_pct", 90.0),
        "humidity_min": ('"%"', "30", "humidity_min_pct", 30.0),
        "dew_point": ("F", "59", "dew_point_c", 15.0),
        "wind": ("km/h", "18", "wind_m_s", 5.0),
        "soil_10cm": ("F", "68", "soil_10cm_c", 20.0),
        "soil_5cm": ("C", "22", "soil_5cm_c", 22.0),
        "snow_depth": ("cm", "-99", "snow_depth_mm", np.nan),
    }
    mapping = "date: d\nwind_height: 10 m\n" + "".join(
        f"{key}: {{column: c_{key}, unit: {unit}}}\n" for key, (unit, *_) in units.items()
    )
    header = "d," + ",".join(f"c_{key}" for key in units)
    row = "2025-06-21," + ",".join(cell for _, cell, *_ in units.values())
    table = read(tmp_path, mapping, f"{header}\n{row}\n")
    assert table.wind_height_m == 10.0
    assert set(table.columns) == {name for *_, name, _ in units.values()}
    for _, _, name, value in units.values():
        assert float(table.columns[name][0]) == pytest.approx(value, nan_ok=True)


def test_dates_with_a_time_of_day(tmp_path: Path) -> None:
    table = read(
        tmp_path,
        'date: d\ntime: t\ndate_format: "%m/%d/%y %I:%M %p"\nair_max: {column: hi, unit: F}\n'
        "air_min: {column: lo, unit: F}\n",
        "d,t,hi,lo\n6/21/25,11:59 PM,85,61\n6/22/25,11:59 PM,86,62\n",
    )
    assert (table.first, table.end) == (dt.date(2025, 6, 21), dt.date(2025, 6, 22))


def test_a_site_with_a_folder_of_described_files(tmp_path: Path) -> None:
    """From site.yaml to the record that answers are made of."""
    lines = in_german().splitlines(keepends=True)
    (tmp_path / "weather").mkdir()
    (tmp_path / "weather" / "a.csv").write_text("".join(lines[:700]), encoding="utf-8")
    rest = [*lines[:4], *lines[700:]]
    (tmp_path / "weather" / "b.csv").write_text("".join(rest), encoding="utf-8")
    described = "".join(f"  {line}\n" for line in GERMAN.splitlines())
    (tmp_path / "site.yaml").write_text(
        "format: 1\nname: Test\nplace: {latitude: 47.5, longitude: -122.3}\n"
        "stand: [{grass: perennial_ryegrass}]\nareas: [{name: lawn, size: 100 m2}]\n"
        f"weather_columns:\n{described}",
        encoding="utf-8",
    )
    (tmp_path / "journal.csv").write_text("id,date,kind,what,value,area,note\n", encoding="utf-8")
    lawn = open_case(tmp_path, read_rulebook(cache=False))
    assert lawn.weather is not None
    assert lawn.weather.source.file == str(tmp_path / "weather")
    assert lawn.weather.years == (2012, 2013, 2014, 2015)
    whole = read(tmp_path, GERMAN, in_german())
    for name in whole.columns:
        np.testing.assert_array_equal(lawn.weather.columns[name], whole.columns[name])
