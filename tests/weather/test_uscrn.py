"""Reading daily files of the U.S. Climate Reference Network, alone and several together.

The files are described in tests/data/uscrn/README.md; pandas is the other reader.
"""

from __future__ import annotations

import datetime as dt
import shutil
import subprocess
import sys
from pathlib import Path

import numpy as np
import pandas as pd
import pytest

from advisor.base.checked_model import check_document
from advisor.base.problems import BadInput
from advisor.base.strict_yaml import load_text
from advisor.records.check_site import as_record
from advisor.records.sections import WeatherColumns
from advisor.records.weather_column_keys import WeatherColumnsKeys
from advisor.weather.kept_weather import weather_path
from advisor.weather.read_weather import read_weather

DATA = Path(__file__).parents[1] / "data"
AUSTIN = DATA / "uscrn" / "CRND0103-2015-TX_Austin_33_NW.txt"
WITH_HEADER = DATA / "uscrn" / "CRND0103-2020-TX_Austin_33_NW.txt"
TODAY = dt.date(2026, 6, 1)
#: Column of ours → position in the file (readme of the product daily01, section 5), factor.
POSITIONS = {
    "air_max_c": (6, 1),
    "air_min_c": (7, 1),
    "rain_mm": (10, 1),
    "radiation_mj": (11, 1),
    "humidity_max_pct": (16, 1),
    "humidity_min_pct": (17, 1),
    "humidity_pct": (18, 1),
    "soil_water_5cm_pct": (19, 100),
    "soil_water_10cm_pct": (20, 100),
    "soil_5cm_c": (24, 1),
    "soil_10cm_c": (25, 1),
}


def independent(path: Path, skip: int) -> pd.DataFrame:
    frame = pd.read_csv(path, sep=r"\s+", header=None, skiprows=skip)
    frame.columns = range(1, 29)
    frame[2] = pd.to_datetime(frame[2].astype(str))
    return frame.replace({-9999.0: np.nan, -99.0: np.nan})


@pytest.mark.parametrize(("path", "skip"), [(AUSTIN, 0), (WITH_HEADER, 1)])
def test_every_column_agrees_with_pandas(path: Path, skip: int) -> None:
    table = read_weather(path, today=TODAY)
    frame = independent(path, skip)
    assert len(table) == len(frame) == 30
    assert np.array_equal(table.days, frame[2].to_numpy().astype("datetime64[D]"))
    assert set(table.columns) == set(POSITIONS)
    for name, (at, factor) in POSITIONS.items():
        np.testing.assert_allclose(
            table.columns[name], frame[at] * factor, atol=1e-6, equal_nan=True, err_msg=name
        )


def test_a_day_read_by_eye() -> None:
    """The line of 4 February 2015, cell by cell."""
    table = read_weather(AUSTIN, today=TODAY)
    assert {name: float(values[0]) for name, values in table.columns.items()} == {
        "air_max_c": 11.8, "air_min_c": 4.3, "rain_mm": 0.3, "radiation_mj": 4.41,
        "humidity_max_pct": 100.0, "humidity_min_pct": 80.6, "humidity_pct": 94.1,
        "soil_water_5cm_pct": 41.0, "soil_water_10cm_pct": 34.4,
        "soil_5cm_c": 9.6, "soil_10cm_c": 9.8,
    }  # fmt: skip


def test_unknown_values_stay_unknown() -> None:
    """3 March has rain alone; 5 March lacks the air temperatures."""
    table = read_weather(AUSTIN, today=TODAY)
    third, fifth = table.index(dt.date(2015, 3, 3)), table.index(dt.date(2015, 3, 5))
    known = {name for name, values in table.columns.items() if not np.isnan(values[third])}
    assert known == {"rain_mm"}
    unknown = {name for name, values in table.columns.items() if np.isnan(values[fifth])}
    assert unknown == {"air_max_c", "air_min_c"}


def test_the_source_is_named() -> None:
    source = read_weather(AUSTIN, today=TODAY, shown_as="weather.csv").source
    assert (source.file, source.kind) == ("weather.csv", "USCRN daily")
    assert source.attribution == (
        "NOAA U.S. Climate Reference Network, daily01, station 23907 (30.62 N -98.08 E)"
    )
    assert read_weather(AUSTIN, today=TODAY).notes == ()


def test_comments_blank_lines_and_line_ends_do_not_matter(tmp_path: Path) -> None:
    plain = AUSTIN.read_text(encoding="utf-8")
    path = tmp_path / "weather.csv"
    path.write_bytes(("# mine\n\n" + plain.replace("\n", "\n\n")).replace("\n", "\r\n").encode())
    table, truth = read_weather(path, today=TODAY), read_weather(AUSTIN, today=TODAY)
    for name in POSITIONS:
        np.testing.assert_array_equal(table.columns[name], truth.columns[name])


def test_a_cell_changed_by_hand_is_noted(tmp_path: Path) -> None:
    path = tmp_path / "weather.csv"
    path.write_text(AUSTIN.read_text(encoding="utf-8").replace("    26.6 ", "    29.6 "))
    assert read_weather(path, today=TODAY, shown_as="w.csv").notes == (
        "w.csv:6: T_DAILY_MEAN is not halfway between T_DAILY_MAX and T_DAILY_MIN (1 day); "
        "were the cells changed?",
    )


def test_yearly_files_in_a_folder_are_one_record(tmp_path: Path) -> None:
    folder = tmp_path / "weather"
    folder.mkdir()
    for path in (WITH_HEADER, AUSTIN):
        shutil.copy(path, folder)
    (folder / "notes.md").write_text("not read")
    assert weather_path(tmp_path) == folder
    table = read_weather(folder, today=TODAY, shown_as="weather")
    assert (table.first, table.end) == (dt.date(2015, 2, 4), dt.date(2020, 3, 30))
    assert table.source.file == "weather"
    between = (dt.date(2020, 3, 30) - dt.date(2015, 2, 4)).days + 1 - 60
    assert table.notes == (f"{between:,} days missing from the files",)
    for path, part in ((AUSTIN, slice(0, 30)), (WITH_HEADER, slice(-30, None))):
        alone = read_weather(path, today=TODAY)
        for name in POSITIONS:
            np.testing.assert_array_equal(table.columns[name][part], alone.columns[name])
    assert np.all(np.isnan(table.columns["air_max_c"][30:-30]))


def test_a_description_of_csv_files_does_not_change_these() -> None:
    described = as_record(
        check_document(
            WeatherColumnsKeys,
            load_text(
                "date: d\nair_max: {column: x, unit: F}\nair_min: {column: n, unit: F}\n", "f"
            ),
        ),
        WeatherColumns,
    )
    table = read_weather(AUSTIN, today=TODAY, columns=described)
    truth = read_weather(AUSTIN, today=TODAY)
    np.testing.assert_array_equal(table.columns["air_max_c"], truth.columns["air_max_c"])


def test_days_that_overlap_with_the_same_values_are_kept_once(tmp_path: Path) -> None:
    lines = AUSTIN.read_text(encoding="utf-8").splitlines(keepends=True)
    (tmp_path / "a.txt").write_text("".join(lines[:20]))
    (tmp_path / "b.TXT").write_text("".join(lines[15:]))
    table, truth = read_weather(tmp_path, today=TODAY), read_weather(AUSTIN, today=TODAY)
    np.testing.assert_array_equal(table.columns["soil_5cm_c"], truth.columns["soil_5cm_c"])
    assert table.notes == ("5 days twice in the files with the same values; kept once",)


def test_a_file_and_a_folder_are_one_too_many(tmp_path: Path) -> None:
    assert weather_path(tmp_path) is None
    (tmp_path / "weather.csv").write_text("x")
    assert weather_path(tmp_path) == tmp_path / "weather.csv"
    (tmp_path / "weather").mkdir()
    with pytest.raises(BadInput) as caught:
        weather_path(tmp_path)
    assert str(caught.value) == (
        f"{tmp_path}/weather.csv: there is a folder 'weather' too; keep one of them"
    )


@pytest.mark.parametrize(
    ("path", "needed"), [(DATA / "ncei" / "seattle_2012_2015.csv", False), (AUSTIN, True)]
)
def test_pandas_is_loaded_only_where_it_reads(path: Path, needed: bool) -> None:
    code = (
        "import sys, pathlib\nfrom advisor.weather.read_weather import read_weather\n"
        f"read_weather(pathlib.Path({str(path)!r}))\nprint('pandas' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == str(needed)
