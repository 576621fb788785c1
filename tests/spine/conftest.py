"""Site folders for the main job, with weather of real places (tests/data/weather/README.md)."""

from __future__ import annotations

import csv
import gzip
from pathlib import Path

import pytest

from advisor.cases.open_folder import open_case
from advisor.rulebook.read_rulebook import read_rulebook

DATA = Path(__file__).parents[1] / "data" / "weather"

# latitude, longitude, elevation in m, time zone, country, weather file or row of normals.csv
PLACES = {
    "northern_ohio": (41.4, -81.9, 235, "America/New_York", "US", "Cleveland OH airport"),
    "coastal_virginia": (36.9, -76.2, 9, "America/New_York", "US", "Norfolk VA airport"),
    "southern_minnesota": (43.7, -93.4, 383, "America/Chicago", "US", "Albert Lea MN (south)"),
    "north_west_minnesota": (47.3, -96.5, 276, "America/Chicago", "US", "Ada MN (north-west)"),
    "norfolk_uk": (52.6, 1.0, 40, "Europe/London", "GB", "norfolk_uk.csv.gz"),
    "christchurch": (-43.5, 172.5, 37, "Pacific/Auckland", "NZ", "Christchurch NZ airport"),
    "nebraska": (40.4, -101.7, 1030, "America/Denver", "US", "champion_ne.csv.gz"),
}


def site_yaml(place: str, stand: str, extra: str = "") -> str:
    lat, lon, elevation, zone, country, _ = PLACES[place]
    return (
        f"format: 1\nname: {place}\nunits: us\nplace: {{latitude: {lat}, longitude: {lon}, "
        f"elevation: {elevation} m, time_zone: {zone}, country: {country}}}\n"
        f"stand: [{{grass: {stand}}}]\nareas: [{{name: lawn, size: 3000 ft2}}]\n"
        f"sown_on: 2010-09-01\nsoil: {{texture: silt_loam}}\n"
        f"water: {{irrigated: false, can_water_seed: true}}\n{extra}"
    )


def write_weather(folder: Path, place: str) -> None:
    source = PLACES[place][5]
    if source.endswith(".gz"):
        (folder / "weather.csv").write_bytes(gzip.decompress((DATA / source).read_bytes()))
        return
    rows = ["month,max temp (C),min temp (C),rain (mm)"]
    with (DATA / "normals.csv").open(encoding="utf-8") as file:
        rows += [
            f"{row['month']},{row['air_max_c']},{row['air_min_c']},{row['rain_mm']}"
            for row in csv.DictReader(file)
            if row["place"] == source
        ]
    (folder / "normals.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")


@pytest.fixture(scope="session")
def book():
    return read_rulebook(cache=False)


@pytest.fixture
def make_lawn(tmp_path, book):
    """make_lawn(place, grass, journal rows as (date, kind, what, value)) -> an opened lawn."""

    def make(place, grass, records=(), extra=""):
        folder = tmp_path / f"{place}-{grass}"
        folder.mkdir()
        (folder / "site.yaml").write_text(site_yaml(place, grass, extra), encoding="utf-8")
        lines = ["id,date,kind,what,value,area,note"]
        lines += [f"r{i},{','.join(row)},," for i, row in enumerate(records, 1)]
        (folder / "journal.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
        write_weather(folder, place)
        return open_case(folder, book)

    return make
