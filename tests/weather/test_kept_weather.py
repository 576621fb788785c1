"""A kept record is the record as its file has it now, and a fault in a file is found each time."""

from __future__ import annotations

import datetime as dt
import json
import os
from pathlib import Path

import numpy as np
import pytest

from advisor.base.cache import keep_keyed
from advisor.base.checked_model import check_document
from advisor.base.problems import BadInput
from advisor.base.strict_yaml import load_text
from advisor.records.check_site import as_record
from advisor.records.sections import WeatherColumns
from advisor.records.weather_column_keys import WeatherColumnsKeys
from advisor.weather import kept_weather as module
from advisor.weather import read_weather as readers
from advisor.weather.kept_weather import read_kept_weather
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

SEATTLE = Path(__file__).parents[1] / "data" / "ncei" / "seattle_2012_2015.csv"
LAST = dt.date(2025, 6, 3)
OWN = "date,max temp (F),min temp (F),rain (in)\n2025-06-01,80,60,0\n2025-06-03,82,,0.1\n"


@pytest.fixture
def read(tmp_path, monkeypatch) -> list[object]:
    """Grows by one for each record that is read from its text."""
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    found: list[object] = []

    def counting(*given, **named):
        found.append(given)
        return read_weather(*given, **named)

    monkeypatch.setattr(readers, "read_weather", counting)
    return found


@pytest.fixture
def record(tmp_path) -> Path:
    path = tmp_path / "weather.csv"
    path.write_text(OWN)
    return path


def kept_file(tmp_path: Path) -> Path:
    (found,) = (tmp_path / "caches" / "turf-windows").iterdir()
    return found


def same(one: WeatherTable, other: WeatherTable) -> bool:
    """Every value, every mark and all that is told of a record, bit by bit."""
    assert list(one.columns) == list(other.columns)
    for name in one.columns:
        assert one.columns[name].tobytes() == other.columns[name].tobytes()
        assert one.columns[name].dtype == other.columns[name].dtype
        assert one.filled[name].tobytes() == other.filled[name].tobytes()
        assert not one.columns[name].flags.writeable
    rest = ("source", "notes", "wind_height_m", "forecast_from", "forecast_issued", "origins")
    return np.array_equal(one.days, other.days) and all(
        getattr(one, name) == getattr(other, name) for name in rest
    )


def test_a_station_record_comes_back_bit_by_bit(read):
    """A real one, with gaps: daily summaries of Seattle, NCEI (tests/data/ncei)."""
    fresh, again = read_kept_weather(SEATTLE), read_kept_weather(SEATTLE)
    assert len(read) == 1
    assert same(again, fresh)
    assert same(again, read_weather(SEATTLE))
    assert np.isnan(again.columns["air_max_c"]).sum() == np.isnan(fresh.columns["air_max_c"]).sum()


def test_a_folder_of_files_counts_with_all_of_them(read, tmp_path):
    folder = tmp_path / "weather"
    folder.mkdir()
    head, first, second = OWN.splitlines()
    (folder / "a.csv").write_text(f"{head}\n{first}\n")
    assert len(read_kept_weather(folder, day=LAST)) == 1
    (folder / "b.csv").write_text(f"{head}\n{second}\n")
    for _ in range(2):
        assert same(read_kept_weather(folder, day=LAST), read_weather(folder, today=LAST))
    assert len(read) == 2


def test_a_changed_file_of_the_same_size_and_time_is_read_anew(read, record):
    read_kept_weather(record, day=LAST)
    times = record.stat()
    record.write_text(OWN.replace("80", "81"))
    os.utime(record, ns=(times.st_atime_ns, times.st_mtime_ns))
    found = read_kept_weather(record, day=LAST)
    assert round(found.columns["air_max_c"][0] * 9 / 5 + 32) == 81


def test_a_fault_is_told_each_time(read, record):
    read_kept_weather(record, day=LAST)
    record.write_text(OWN.replace("80", "8o"))
    for _ in range(3):
        with pytest.raises(BadInput, match="8o"):
            read_kept_weather(record, day=LAST)
    assert len(read) == 4


def test_a_day_that_has_not_been_is_refused_even_if_it_was_kept(read, record):
    """As on a machine whose clock was set back."""
    read_kept_weather(record, day=LAST)
    with pytest.raises(BadInput, match="future"):
        read_kept_weather(record, day=LAST - dt.timedelta(days=1))
    assert same(read_kept_weather(record, day=LAST), read_weather(record, today=LAST))


def test_how_it_is_to_be_read_counts(read, tmp_path):
    record = tmp_path / "weather.csv"
    record.write_text("day,high,low\n2025-06-01,30,20\n")
    spelled = "date: day\nair_max: {column: high, unit: UNIT}\nair_min: {column: low, unit: UNIT}\n"
    highs = []
    for unit in ("C", "F", "C"):
        text = spelled.replace("UNIT", unit)
        columns = as_record(
            check_document(WeatherColumnsKeys, load_text(text, "site.yaml")), WeatherColumns
        )
        table = read_kept_weather(record, day=LAST, columns=columns)
        highs.append(round(float(table.columns["air_max_c"][0]), 1))
    assert highs == [30.0, -1.1, 30.0]


def test_another_name_in_messages_is_another_record(read, record, tmp_path, monkeypatch):
    by_path = read_kept_weather(record, day=LAST)
    monkeypatch.chdir(tmp_path)
    by_name = read_kept_weather(Path("weather.csv"), day=LAST)
    assert (by_path.source.file, by_name.source.file) == (str(record), "weather.csv")


def test_other_readers_read_anew(read, record, monkeypatch):
    read_kept_weather(record, day=LAST)
    monkeypatch.setattr(module, "code_of", lambda *names: "other")
    read_kept_weather(record, day=LAST)
    assert len(read) == 2


@pytest.mark.parametrize("share", [0.0, 0.5, 0.99])
def test_a_cut_file_is_made_anew(read, record, tmp_path, share):
    fresh = read_kept_weather(record, day=LAST)
    raw = kept_file(tmp_path).read_bytes()
    kept_file(tmp_path).write_bytes(raw[: int(len(raw) * share)])
    assert same(read_kept_weather(record, day=LAST), fresh)
    assert len(read) == 2
    assert kept_file(tmp_path).read_bytes() == raw


def _array(**given: object) -> bytes:
    import io

    out = io.BytesIO()
    np.save(out, **given)  # type: ignore[arg-type]
    return out.getvalue()


@pytest.mark.parametrize(
    ("change", "array"),
    [
        ({"first": "yesterday"}, None),
        ({"first": None}, None),
        ({"columns": ["air_max_c"]}, None),
        ({"columns": ["colour", "air_min_c", "rain_mm"]}, None),
        ({"source": {"file": "w.csv"}}, None),
        ({"notes": None}, None),
        ({}, b""),
        ({}, _array(arr=np.zeros(3))),
        ({}, _array(arr=np.zeros((3, 0)))),
        ({}, _array(arr=np.zeros((3, 3), dtype=np.int64))),
        ({}, _array(arr=np.full((3, 3), np.inf))),
        ({}, _array(arr=np.array([[{}]]), allow_pickle=True)),
    ],
)
def test_what_has_another_shape_is_made_anew(read, record, tmp_path, change, array):
    """Even where it is whole and stands under the right key."""
    fresh = read_kept_weather(record, day=LAST)
    path = kept_file(tmp_path)
    key, header, values = path.read_bytes()[64:].split(b"\n", 2)
    header = json.dumps(json.loads(header) | change).encode()
    keep_keyed(path.name, key.decode(), header + b"\n" + (values if array is None else array))
    assert same(read_kept_weather(record, day=LAST), fresh)
    assert len(read) == 2
