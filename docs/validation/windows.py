"""Fit and judge the windows on dates that extension services print. Run by hand:

    python docs/validation/windows.py

Reads tests/data/published_windows.csv (dates, our reading of their words and the halves were fixed
before any fit) and the weather under tests/data/weather. Writes sowing_windows.md beside this file.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
import sys
import tempfile
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import product
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import BadInput
from advisor.facts.axis import build_axis
from advisor.facts.season_days import SeasonDays
from advisor.facts.weather_facts import Lawn, WeatherFacts
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.signals.season_shape import past_warm_peak
from advisor.weather.normals import MonthlyNormals
from advisor.weather.read_weather import read_weather
from advisor.windows.interval import find_intervals
from advisor.windows.outlook import boundary, date_quantiles, tree_on_axis

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
MONTH_LIST = {"opens": (9, 1), "closes": (9, 30)}  # "September", the plainest calendar
AFTER_MIDSUMMER = 30
HELD = 3
NEAR = 10.0  # days within which a computed date counts as agreeing
FAR = 400.0

Values = NDArray[np.float64]
Truth = NDArray[np.int8]


@dataclass(frozen=True)
class Pair:
    """One printed window. opens, closes: (month, day) as we read it, None where none is printed."""

    id: str
    what: str
    grass: str
    place: str
    weather: str
    basis: str
    stands: str
    opens: tuple[int, int] | None
    closes: tuple[int, int] | None
    printed: tuple[str, str]
    source: str
    counted: bool
    role: str
    note: str


def read_pairs() -> list[Pair]:
    """All rows of the file, in its order."""

    def day(text: str) -> tuple[int, int] | None:
        return (int(text[:2]), int(text[3:])) if text else None

    with PAIRS.open(encoding="utf-8", newline="") as file:
        return [
            Pair(
                *(row[k] for k in ("id", "what", "grass", "place", "weather", "basis", "stands")),
                day(row["opens"]),
                day(row["closes"]),
                (row["opens_printed"], row["closes_printed"]),
                row["source"],
                row["counted"] == "yes",
                row["role"],
                row["note"],
            )
            for row in csv.DictReader(file)
        ]


@cache
def weather_facts(name: str) -> WeatherFacts:
    """The facts of a place on the 1 May after its record: every member is a year of the record."""
    if name not in RECORDS:
        return _from_normals(name)
    latitude, elevation = RECORDS[name]
    text = gzip.decompress((WEATHER / f"{name}.csv.gz").read_bytes()).decode()
    head, *rows = text.splitlines()
    if name.endswith("_typical"):  # the same year four times; nothing is said of its spread
        rows = [f"{year}{row[4:]}" for year in (2001, 2002, 2003) for row in rows]
    on = dt.date(int(rows[-1][:4]) + 1, 5, 1)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{name}.csv"
        path.write_text("\n".join([head, *rows]) + "\n", encoding="utf-8")
        axis = build_axis(read_weather(path), None, on, latitude)
    assert axis is not None
    return WeatherFacts(axis, Lawn(latitude, elevation))


def _from_normals(name: str) -> WeatherFacts:
    with (WEATHER / "normals.csv").open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["place"] == name]
    rows.sort(key=lambda row: int(row["month"]))
    high, low, rain = (
        tuple(float(row[column] or "nan") for row in rows)
        for column in ("air_max_c", "air_min_c", "rain_mm")
    )
    latitude, elevation = float(rows[0]["lat"]), float(rows[0]["elevation_m"])
    on = dt.date(2017, 5, 1) if latitude > 0 else dt.date(2017, 11, 1)
    axis = build_axis(None, MonthlyNormals("normals.csv", high, low, rain, ""), on, latitude)
    assert axis is not None
    return WeatherFacts(axis, Lawn(latitude, elevation))


def season(facts: WeatherFacts) -> SeasonDays:
    """The season year that begins after the day asked about."""
    return next(s for s in facts.seasons if s.midsummer > facts.axis.today)


def index(facts: WeatherFacts, day: tuple[int, int]) -> int:
    """Index of a calendar day in that season year."""
    start = facts.axis.date(season(facts).midsummer)
    date = dt.date(start.year, *day)
    return facts.axis.index(date if date >= start else date.replace(year=start.year + 1))


# --- Signs, for the fit ---


@cache
def signs(name: str) -> Mapping[str, Values]:
    """Arrays (members, days): °F where temperatures, days where distances."""
    facts = weather_facts(name)
    at = season(facts)
    soil = facts.soil_mean(5)
    days = np.arange(soil.shape[1])
    found = {
        "soil": soil * 1.8 + 32,
        "nights": facts.night_lows() * 1.8 + 32,
        "fall": past_warm_peak(facts._mean_c, start=at.midsummer - 20).below_peak_c,
        "room": facts.room(),
        "day length": np.broadcast_to(facts.day_length(), soil.shape),
    }
    autumn = (days >= at.midsummer + 60) & (days < at.midwinter + 60)
    freezing = (facts.axis.columns["air_min_c"] <= 0.0) & (days >= at.midsummer + 40)
    warm = (soil >= (54 - 32) / 1.8) & (days < at.midwinter)
    cold = (facts.soil_mean(5) < (40 - 32) / 1.8) & autumn
    week = np.lib.stride_tricks.sliding_window_view(cold, 7, axis=1).all(axis=2)
    last_warm = soil.shape[1] - np.argmax(warm[:, ::-1], axis=1)
    for sign, first in (
        ("days to freeze", _first(freezing)),
        ("days to 54 F", last_warm.astype(float)),
        ("days to 40 F", _first(week)),
    ):
        found[sign] = first[:, None] - days
    return found


def _first(flags: NDArray[np.bool_]) -> Values:
    return np.where(flags.any(axis=1), flags.argmax(axis=1), flags.shape[1] + FAR)


Limits = tuple[tuple[str, str, float], ...]  # sign, "under" or "over", limit
"""Signs that must all hold to open, any of which closes."""


def truth(name: str, limits: Limits, how: Callable[..., Truth]) -> Truth:
    """1, 0 or -1 (unknown) for each member and day; `how` is np.minimum (all), np.maximum (any)."""
    parts = []
    for sign, comparison, limit in limits:
        values = signs(name)[sign]
        holds = values < limit if comparison == "under" else values >= limit
        parts.append(np.where(np.isnan(values), -1, holds).astype(np.int8))
    joined: Truth = parts[0] if len(parts) == 1 else how(*parts)
    return joined


def opening(name: str, limits: Limits) -> float:
    """Median first open day (index); midwinter stands for a year in which it does not open."""
    at = season(weather_facts(name))
    tree = truth(name, limits, np.minimum)
    found = find_intervals(tree, None, at.midsummer + AFTER_MIDSUMMER, at.midwinter, HELD)
    return float(np.median(np.where(found.opens < 0, at.midwinter, found.opens)))


def closing(name: str, limits: Limits) -> float:
    """Median last open day (index)."""
    at = season(weather_facts(name))
    tree = truth(name, limits, np.maximum)
    first = at.midsummer + AFTER_MIDSUMMER
    return float(np.median(find_intervals(np.ones_like(tree), tree, first, at.midwinter).closes)) - 1


def grid(*axes: tuple[str, str, Iterable[float]]) -> list[Limits]:
    """Every combination of limits."""
    one = [[(sign, how, float(limit)) for limit in limits] for sign, how, limits in axes]
    return [tuple(chosen) for chosen in product(*one)]


SOIL, COARSE_SOIL = np.arange(68, 82.1, 0.5), np.arange(74, 81.1, 1)
FALL, NIGHTS = np.arange(0.2, 1.61, 0.1), np.arange(56, 72.1, 1)
ROOM, HOURS = np.arange(250, 751, 10), np.arange(10, 13.6, 0.1)
OPENINGS = {
    "soil under": grid(("soil", "under", SOIL)),
    "night lows under": grid(("nights", "under", NIGHTS)),
    "air past its peak by": grid(("fall", "over", FALL)),
    "past peak, and night lows": grid(("fall", "over", FALL), ("nights", "under", NIGHTS)),
    "past peak, and soil": grid(("fall", "over", FALL), ("soil", "under", COARSE_SOIL)),
}
CLOSINGS = {
    "day length under": grid(("day length", "under", HOURS)),
    "days to first 32 °F night": grid(("days to freeze", "under", np.arange(0, 71, 2))),
    "days to soil under 54 °F": grid(("days to 54 F", "under", np.arange(20, 81, 2))),
    "days to soil under 40 °F for a week": grid(("days to 40 F", "under", np.arange(50, 100, 2))),
    "room left, or day length": grid(
        ("room", "under", ROOM[::2]), ("day length", "under", np.arange(10.4, 12.6, 0.2))
    ),
    "room left, or days to 40 °F": grid(
        ("room", "under", ROOM[::2]), ("days to 40 F", "under", np.arange(60, 84, 2))
    ),
    "room left under": grid(("room", "under", ROOM)),
}


@dataclass(frozen=True)
class Fitted:
    """A family of signs: limits from the fit half, and errors (days, computed minus printed)."""

    name: str
    limits: Limits
    errors: Values
    left_out: Values


def fit(pairs: list[Pair], families: Mapping[str, list[Limits]], which: str) -> list[Fitted]:
    """Limits by least mean absolute error on the fit half; and each place predicted without it."""
    find = opening if which == "opens" else closing
    half = np.array([pair.role == "fit" for pair in pairs])
    places = np.array([pair.weather for pair in pairs])
    out = []
    for name, candidates in families.items():
        errors = np.array(
            [[find(p.weather, limits) - printed(p, which) for p in pairs] for limits in candidates]
        )
        left_out = np.empty(len(pairs))
        for place in set(places):
            left_out[places == place] = errors[_best(errors, places != place)][places == place]
        best = _best(errors, half)
        out.append(Fitted(name, candidates[best], errors[best], left_out))
    return out


def _best(errors: Values, among: NDArray[np.bool_]) -> int:
    return int(np.argmin(np.abs(errors[:, among]).mean(axis=1)))


def printed(pair: Pair, which: str) -> int:
    """Index of the printed day on the axis of the pair's weather."""
    day = pair.opens if which == "opens" else pair.closes
    assert day is not None
    return index(weather_facts(pair.weather), day)


def constant_errors(pairs: list[Pair], which: str) -> Values:
    """The mean printed day of the year at the other places, minus the printed one."""
    days = np.array([dt.date(2001, *(getattr(p, which))).timetuple().tm_yday for p in pairs])
    places = np.array([pair.weather for pair in pairs])
    return np.array([days[places != place].mean() for place in places]) - days


def month_errors(pairs: list[Pair], which: str) -> Values:
    """"September" for everybody, minus the printed day."""
    days = np.array([dt.date(2001, *(getattr(p, which))).timetuple().tm_yday for p in pairs])
    return dt.date(2001, *MONTH_LIST[which]).timetuple().tm_yday - days.astype(float)


# --- The rule book's own windows ---


@dataclass(frozen=True)
class Dates:
    """Median, 10 and 90 % day (index) of opening and of last open day; years it opens, of all."""

    opens: tuple[float, float, float]
    closes: tuple[float, float, float]
    years: int
    of: int


def book_dates(book: RuleBook, operation: str, window: str, grass: str, place: str) -> Dates | None:
    """A window of the rule book at a place, or None where it opens in no year."""
    facts = weather_facts(place)
    resolved = book.operations[operation].for_grass(book.grasses[grass])
    found = next(w for w in resolved.windows if w.id == window)
    at = season(facts)
    closes = None if found.closes is None else tree_on_axis(found.closes, facts, {})
    days = find_intervals(
        tree_on_axis(found.opens, facts, {}),
        closes,
        boundary(found.after, at),
        boundary(found.until, at),
        found.held,
        found.closes_held,
    )
    ok = days.opened
    if not ok.any():
        return None
    return Dates(
        date_quantiles(days.opens[ok]), date_quantiles(days.closes[ok] - 1), int(ok.sum()), len(ok)
    )
