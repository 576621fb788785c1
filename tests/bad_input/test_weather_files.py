"""Broken weather files: each gets exactly the messages in the `.expected` file beside it.

A `.yaml` beside a file says how its columns are to be read, as `weather_columns` in site.yaml does.
A case may also be a folder of files.
"""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from advisor.base.checked_model import check_document
from advisor.base.problems import BadInput, Place
from advisor.base.strict_yaml import load_file
from advisor.records.check_site import as_record
from advisor.records.sections import WeatherColumns
from advisor.records.weather_column_keys import WeatherColumnsKeys
from advisor.weather import text_file
from advisor.weather.kept_weather import WEATHER_FILE, no_record
from advisor.weather.read_normals import read_normals
from advisor.weather.read_weather import read_weather

FOLDER = Path(__file__).parent / "weather"
DATA = Path(__file__).parents[1] / "data"
TODAY = dt.date(2026, 6, 1)
CASES = {
    path.stem: path
    for path in sorted(FOLDER.iterdir())
    if path.is_dir() or path.suffix in (".csv", ".txt")
}


def read(path: Path) -> object:
    if path.stem.startswith("normals"):
        return read_normals(path, path.name)
    described = path.with_suffix(".yaml")
    columns = (
        as_record(check_document(WeatherColumnsKeys, load_file(described)), WeatherColumns)
        if described.exists()
        else None
    )
    return read_weather(path, today=TODAY, shown_as=path.name, columns=columns)


def messages(error: BadInput) -> list[str]:
    return [str(problem) for problem in error.problems]


@pytest.mark.parametrize("name", CASES)
def test_each_problem_is_named_at_its_line(name: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(CASES[name])
    expected = (FOLDER / f"{name}.expected").read_text(encoding="utf-8").splitlines()
    assert messages(caught.value) == expected


def test_every_expectation_belongs_to_a_file() -> None:
    assert sorted(path.stem for path in FOLDER.glob("*.expected")) == sorted(CASES)
    assert len(CASES) >= 45
    described = {path.stem for path in FOLDER.glob("*.yaml")}
    assert described <= set(CASES)
    assert len(described) >= 8


def test_huge_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "w.csv"
    path.write_bytes(b"x" * 3_000_000)
    monkeypatch.setattr(text_file, "LIMIT_BYTES", 2_000_000)
    with pytest.raises(BadInput) as caught:
        read_weather(path, today=TODAY, shown_as="w.csv")
    assert messages(caught.value) == [
        "w.csv: the file has 3 MB, the limit is 2 MB; keep one row a day"
    ]


def test_limits_that_a_century_of_hours_does_not_reach() -> None:
    assert text_file.LIMIT_BYTES == 100_000_000
    assert text_file.LIMIT_LINES == 1_000_000 > 100 * 366 * 24


@pytest.mark.parametrize("end", [b"\n", b"\r\n", b"\r"])
def test_more_lines_than_any_record_has(tmp_path: Path, end: bytes) -> None:
    path = tmp_path / "w.csv"
    path.write_bytes(end * (text_file.LIMIT_LINES + 1))
    with pytest.raises(BadInput) as caught:
        read_weather(path, today=TODAY, shown_as="w.csv")
    assert messages(caught.value) == [
        "w.csv: the file has 1,000,001 lines, the limit is 1,000,000; keep one row a day"
    ]


def test_no_such_file(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        read_weather(tmp_path / "none.csv", today=TODAY, shown_as="none.csv")
    assert messages(caught.value) == ["none.csv: no such file"]


def test_a_folder_without_weather_files(tmp_path: Path) -> None:
    with pytest.raises(BadInput) as caught:
        read_weather(tmp_path, today=TODAY, shown_as="w.csv")
    assert messages(caught.value) == [
        "w.csv: no weather files in this folder; wanted files that end in .csv or .txt"
    ]


def test_a_site_without_weather_is_told_how_to_add_it(tmp_path: Path) -> None:
    assert messages(
        no_record(Place(str(tmp_path / WEATHER_FILE)), f"advisor weather {tmp_path}")
    ) == [
        f"{tmp_path}/weather.csv: no weather record; save one as weather.csv in this folder: one "
        "row a day under 'date,max temp (F),min temp (F),rain (in)', or a daily-summaries CSV of a "
        "station from NCEI; or put several files into a folder 'weather'; or write 'contact' and "
        "'weather_source' into site.yaml, and fetch a station's record with "
        f"'advisor weather {tmp_path}'"
    ]


def test_units_that_cannot_be_right_are_refused() -> None:
    path = DATA / "ncei" / "lincoln_2016.csv"
    with pytest.raises(BadInput) as caught:
        read_weather(path, units="metric", today=TODAY, shown_as="weather.csv")
    assert messages(caught.value) == [
        "weather.csv:1: units 'metric' (°C and mm) cannot be right: TMAX 72 is beyond the world "
        "record; try 'standard'"
    ]


def test_a_day_before_the_record_is_refused() -> None:
    table = read_weather(DATA / "ncei" / "seattle_2012_2015.csv", today=TODAY, shown_as="w.csv")
    with pytest.raises(BadInput) as caught:
        table.until(dt.date(2011, 12, 31))
    assert messages(caught.value) == [
        "w.csv: the weather record starts on 2012-01-01, after 2011-12-31; "
        "ask about a later day or add earlier weather"
    ]
