"""A list's folder of weather: what is wrong with it, and whose record stands for whom."""

from __future__ import annotations

import pytest

from advisor.base.problems import BadInput
from advisor.mailing.readers.weather_places import cell_weather, nearest_cell, read_places

from .conftest import TODAY, write_list

HEADER = "file,name,latitude,longitude,kind\n"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("file,lat\n", "places.csv:1: wanted the header 'file,name,latitude,longitude,kind'"),
        (HEADER, "places.csv: names no weather file"),
        (HEADER + "a.csv,A,1,2\n", "places.csv:2: has 4 cells; wanted 5"),
        (
            HEADER + "no.csv,A,1,2,record\n",
            "places.csv:2: there is no file 'no.csv' in this folder",
        ),
        (
            HEADER + "../places.csv,A,1,2,record\n",
            "there is no file '../places.csv' in this folder",
        ),
        (HEADER + "places.csv,A,91,2,record\n", "places.csv:2: 91, 2 lies off the globe"),
        (HEADER + "places.csv,A,nan,2,record\n", "places.csv:2: nan, 2 lies off the globe"),
        (HEADER + "places.csv,A,north,2,record\n", "could not convert string to float: 'north'"),
        (HEADER + "places.csv,A,1,2,guess\n", "'guess' is no kind; wanted record or normals"),
        (HEADER + "places.csv,<b>,1,2,record\n", "holds '<' or '>'; wanted plain text"),
    ],
)
def test_a_broken_index_is_told(tmp_path, text, says):
    (tmp_path / "weather").mkdir()
    (tmp_path / "weather" / "places.csv").write_text(text)
    with pytest.raises(BadInput) as found:
        read_places(tmp_path)
    assert says in str(found.value)


def test_the_nearest_record_stands_and_none_beyond_100_km(tmp_path):
    cells = read_places(write_list(tmp_path))
    assert nearest_cell(cells, 42.0, -93.6).name == "central Iowa"
    assert nearest_cell(cells, 40.5, -101.6).name == "Champion"
    assert nearest_cell(cells, 41.0, -97.0) is None
    # One degree of latitude is 111.2 km on a sphere of 6371 km; 0.89 degrees are 99 km.
    assert nearest_cell(cells, 42.035 + 0.89, -93.0).name == "central Iowa"
    assert nearest_cell(cells, 42.035 + 0.91, -93.0) is None


def test_another_record_is_another_cell_and_normals_will_do(tmp_path):
    folder = write_list(tmp_path)
    before = read_places(folder)
    iowa = folder / "weather" / "central_iowa.csv"
    iowa.write_text(iowa.read_text().rstrip("\n").rpartition("\n")[0] + "\n")
    after = read_places(folder)
    assert (before[0] != after[0], before[1] == after[1]) == (True, True)
    normals = folder / "weather" / "normals.csv"
    normals.write_text(
        "month,max temp (C),min temp (C),rain (mm)\n"
        + "".join(
            f"{m},{5 + 4 * min(m, 13 - m)},{4 * min(m, 13 - m) - 5},60\n" for m in range(1, 13)
        )
    )
    (folder / "weather" / "places.csv").write_text(
        HEADER + "normals.csv,somewhere,42,-93,normals\n"
    )
    weather = cell_weather(folder, read_places(folder)[0], TODAY)
    assert weather.record is None
    assert weather.normals.rain_mm[0] == 60.0
