"""Printed windows, the weather of their places, and what the rule book computes there.

Used by windows.py beside this file and by tests/published/test_sowing_windows.py.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import tempfile
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from advisor.decide.windows.interval import date_quantiles, find_intervals
from advisor.decide.windows.tracks import boundary, tree_on_axis
from advisor.facts.axis import SeasonDays, build_axis
from advisor.facts.weather_facts import Lawn, WeatherFacts
from advisor.rulebook.model import RuleBook
from advisor.weather.gaps import MonthlyNormals
from advisor.weather.read_weather import read_weather

ROOT = Path(__file__).parents[2]
PAIRS = ROOT / "tests" / "data" / "published_windows.csv"
WEATHER = ROOT / "tests" / "data" / "weather"
RECORDS = {  # file: latitude, elevation in m (tests/data/weather/README.md)
    "champion_ne": (40.4, 1030.0),
    "central_iowa": (42.035, 300.0),
    "chicago_il_typical": (41.98, 201.0),
    "sterling_va_typical": (38.98, 82.0),
    "greensboro_nc_typical": (36.1, 273.0),
    "clemson_sc": (34.7, 250.0),
    "new_york_ny": (40.8, 10.0),
    "norfolk_uk": (52.6, 40.0),
    "seattle_wa": (47.5, 120.0),
    "san_francisco_ca_typical": (37.62, 2.0),
}
WINDOW_OF = {  # what is printed: operation and window of the rule book
    "autumn_sowing": ("overseeding", "autumn"),
    "tall_fescue_sowing": ("overseeding", "autumn"),
    "thatch_removal": ("thatch_removal", "autumn"),
    "coring": ("core_aeration", "autumn"),
    "spring_sowing": ("spring_seeding", "spring"),
    "spring_coring": ("core_aeration", "spring"),
    "dormant_sowing": ("dormant_seeding", "winter"),
}
MONTH_LIST = {"opens": (9, 1), "closes": (9, 30)}  # "September", the plainest calendar

Values = NDArray[np.float64]
MonthDay = tuple[int, int]


@dataclass(frozen=True)
class Pair:
    """One printed window. opens, closes: the day as we read it, None where none is printed."""

    id: str
    what: str
    grass: str
    place: str
    climate: str
    weather: str
    basis: str
    stands: str
    opens: MonthDay | None
    closes: MonthDay | None
    printed: tuple[str, str]
    source: str
    counted: bool
    role: str
    note: str

    @property
    def in_spring(self) -> bool:
        return self.what.startswith("spring")


def read_pairs() -> list[Pair]:
    """All rows of the file, in its order."""

    def day(text: str) -> MonthDay | None:
        return (int(text[:2]), int(text[3:])) if text else None

    with PAIRS.open(encoding="utf-8", newline="") as file:
        return [
            Pair(
                id=row["id"],
                what=row["what"],
                grass=row["grass"],
                place=row["place"],
                climate=row["climate"],
                weather=row["weather"],
                basis=row["basis"],
                stands=row["stands"],
                opens=day(row["opens"]),
                closes=day(row["closes"]),
                printed=(row["opens_printed"], row["closes_printed"]),
                source=row["source"],
                counted=row["counted"] == "yes",
                role=row["role"],
                note=row["note"],
            )
            for row in csv.DictReader(file)
        ]


@dataclass(frozen=True)
class Asked:
    """A place's facts, asked about on one day, and the season year whose windows are sought."""

    facts: WeatherFacts
    season: SeasonDays

    def index(self, day: MonthDay) -> int:
        """Index of a calendar day in the season year."""
        start = self.facts.axis.date(self.season.midsummer)
        date = dt.date(start.year, *day)
        return self.facts.axis.index(date if date >= start else date.replace(year=start.year + 1))


@cache
def ask(name: str, in_spring: bool = False) -> Asked:
    """The place after its record: every member is a year of the record, of the normals the only.

    Asked on 1 May (1 November in the south) about the coming season year; for spring windows on
    1 January of the current one.
    """
    month = 1 if in_spring else 5
    if name in RECORDS:
        latitude, elevation = RECORDS[name]
        head, *rows = gzip.decompress((WEATHER / f"{name}.csv.gz").read_bytes()).decode().split()
        if name.endswith("_typical"):  # one year, repeated; it says nothing of the spread
            rows = [f"{year}{row[4:]}" for year in (2001, 2002, 2003) for row in rows]
        on = dt.date(int(rows[-1][:4]) + 1, month, 1)
        with tempfile.TemporaryDirectory() as folder:
            path = Path(folder) / f"{name}.csv"
            path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
            axis = build_axis(read_weather(path), None, on, latitude)
    else:
        latitude, elevation, normals = _normals(name)
        on = dt.date(2018, month if latitude > 0 else month + 6, 1)
        axis = build_axis(None, normals, on, latitude)
    assert axis is not None
    facts = WeatherFacts(axis, Lawn(latitude, elevation))
    if in_spring:
        return Asked(facts, [s for s in facts.seasons if s.midsummer <= axis.today][-1])
    return Asked(facts, next(s for s in facts.seasons if s.midsummer > axis.today))


def _normals(name: str) -> tuple[float, float, MonthlyNormals]:
    with (WEATHER / "normals.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["place"] == name]
    rows.sort(key=lambda row: int(row["month"]))
    high, low, rain = (
        tuple(float(row[column] or "nan") for row in rows)
        for column in ("air_max_c", "air_min_c", "rain_mm")
    )
    normals = MonthlyNormals("normals.csv", high, low, rain, rows[0]["source"])
    return float(rows[0]["lat"]), float(rows[0]["elevation_m"]), normals


@dataclass(frozen=True)
class Found:
    """10, 50 and 90 % day (index) of the first and of the last open day; years it opens, of all."""

    asked: Asked
    opens: tuple[float, float, float]
    closes: tuple[float, float, float]
    years: int
    of: int

    def error(self, pair: Pair, which: str) -> float:
        """Computed median minus printed day, days."""
        day = pair.opens if which == "opens" else pair.closes
        assert day is not None
        middle: float = (self.opens if which == "opens" else self.closes)[1]
        return middle - self.asked.index(day)


def computed(book: RuleBook, pair: Pair) -> Found | None:
    """The rule book's own window for a pair, or None where it surely opens in no year."""
    operation, window_id = WINDOW_OF[pair.what]
    grass = book.grasses[pair.grass]
    windows = book.operations[operation].for_grass(grass).windows
    window = next(w for w in windows if w.id == window_id)
    asked = ask(pair.weather, pair.in_spring)
    facts = asked.facts
    closes = None if window.closes is None else tree_on_axis(window.closes, facts, grass.traits)
    days = find_intervals(
        tree_on_axis(window.opens, facts, grass.traits),
        closes,
        boundary(window.after, asked.season),
        boundary(window.until, asked.season),
        window.held,
        window.closes_held,
    )
    ok = days.opened
    if not ok.any():
        return None
    opens, last = date_quantiles(days.opens[ok]), date_quantiles(days.closes[ok] - 1)
    return Found(asked, opens, last, int(ok.sum()), len(ok))


def constant_errors(pairs: list[Pair], which: str) -> Values:
    """The mean printed day of the other places, minus the printed day of each pair; days."""
    days = _days_of_year(pairs, which)
    places = np.array([pair.weather for pair in pairs])
    return np.array([days[places != place].mean() for place in places]) - days


def month_errors(pairs: list[Pair], which: str) -> Values:
    """1 September (opens) or 30 September (closes) for everybody, minus the printed day; days."""
    return dt.date(2001, *MONTH_LIST[which]).timetuple().tm_yday - _days_of_year(pairs, which)


def _days_of_year(pairs: list[Pair], which: str) -> Values:
    days = [dt.date(2001, *getattr(pair, which)).timetuple().tm_yday for pair in pairs]
    return np.array(days, dtype=np.float64)
