"""Lawns for the tests of the year: the invented demo, Champion in Nebraska, and shorter records."""

from __future__ import annotations

import datetime as dt
import gzip
from pathlib import Path

import pandas as pd
import pytest

from advisor.advice.book import Advice
from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import DEMO_DAY, write_demo
from advisor.render.yearly.year import compose_year
from advisor.rulebook.read_rulebook import read_rulebook

CHAMPION = Path(__file__).parents[1] / "data" / "weather" / "champion_ne.csv.gz"
CHAMPION_DAY = dt.date(2018, 9, 5)
SITE = """\
format: 1
name: Champion
place: {latitude: 40.4, longitude: -101.7, time_zone: America/Chicago, country: US}
units: us
stand: [{grass: kentucky_bluegrass, share: 100 %}]
areas: [{name: all, size: 3000 ft2}]
soil: {texture: silt_loam}
"""


@pytest.fixture(scope="session")
def book():
    return read_rulebook(cache=False)


@pytest.fixture(scope="session")
def demo_year(tmp_path_factory, book):
    site = write_demo(tmp_path_factory.mktemp("demo"))
    return compose_year(Advice(open_case(site, book, DEMO_DAY)))


def _champion(folder: Path, book, days: int | None = None):
    """A lawn in Champion with its weather, or that of the last `days` days up to CHAMPION_DAY."""
    lines = gzip.decompress(CHAMPION.read_bytes()).decode().splitlines()
    rows = lines[1:]
    if days is not None:
        first = (CHAMPION_DAY - dt.timedelta(days=days)).isoformat()
        rows = [row for row in rows if first < row[:10] <= CHAMPION_DAY.isoformat()]
    (folder / "site.yaml").write_text(SITE, encoding="utf-8")
    if rows:
        text = "\n".join([lines[0], *rows]) + "\n"
        (folder / "weather.csv").write_text(text, encoding="utf-8")
    return open_case(folder, book)


@pytest.fixture(scope="session")
def champion_year(tmp_path_factory, book):
    return compose_year(
        Advice(replace(_champion(tmp_path_factory.mktemp("champion"), book), on=CHAMPION_DAY))
    )


@pytest.fixture(scope="session")
def short_year(tmp_path_factory, book):
    """The year of a lawn in Champion whose weather record has only so many days; 0: none."""
    made = {}

    def year(days):
        if days not in made:
            lawn = _champion(tmp_path_factory.mktemp(f"days{days}"), book, days)
            made[days] = compose_year(Advice(replace(lawn, on=CHAMPION_DAY)))
        return made[days]

    return year


@pytest.fixture(scope="session")
def champion_lows():
    """Minimum temperatures of the whole record, °C, as pandas reads the same file."""
    return pd.read_csv(CHAMPION, parse_dates=["date"]).set_index("date")["air_min_c"]
