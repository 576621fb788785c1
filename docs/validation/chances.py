"""Judge the chances of open windows on past years, each left out in turn. Run by hand:

    python docs/validation/chances.py [FOLDER_OF_RULES]

Reads the weather under tests/data/weather. Writes chances.md and chances.svg beside this file.
"""

from __future__ import annotations

import datetime as dt
import gzip
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from published_pairs import RECORDS, WEATHER

from advisor.facts.axis import build_axis
from advisor.facts.weather_facts import Lawn, WeatherFacts
from advisor.replay.history import past_windows, record_axis, window_truth
from advisor.rulebook.model import RuleBook, Window
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable
from advisor.windows.interval import UNCERTAIN, find_intervals
from advisor.windows.tracks import boundary, tree_on_axis

PLACES = ("champion_ne", "central_iowa", "norfolk_uk", "clemson_sc")
OPERATIONS = ("overseeding", "thatch_removal", "core_aeration", "dormant_seeding", "spring_seeding")
GRASSES = ("kentucky_bluegrass", "tall_fescue")
LEADS = (0, 14, 28, 56)
"""Days from the day stood on to the day asked about."""
STEP = 7
"""Every how many days of the season year a day is asked about."""
SURE = 0.1
"""Days on which all but so small a share of the other years agree are not scored."""

Values = NDArray[np.float64]

CASE = np.dtype(
    [
        ("place", "i2"),
        ("question", "i2"),
        ("year", "i2"),
        ("day", "i2"),
        ("lead", "i2"),
        ("chance", "f8"),
        ("members", "i2"),
        ("climatology", "f8"),
        ("came", "f8"),
    ]
)
"""One prediction. day: days after midsummer. came: 1 if the window was open that day, else 0."""


@dataclass(frozen=True)
class Question:
    """One window of an operation for a grass."""

    operation: str
    grass: str
    window: Window


def questions(book: RuleBook, operations: Iterable[str] = OPERATIONS) -> list[Question]:
    """All windows of the operations for both grasses, their limits filled in."""
    return [
        Question(operation, grass, window)
        for operation in operations
        for grass in GRASSES
        for window in book.operations[operation].for_grass(book.grasses[grass]).windows
    ]


def read_place(name: str) -> tuple[WeatherTable, Lawn]:
    """A place's record, and a lawn there."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{name}.csv"
        path.write_bytes(gzip.decompress((WEATHER / f"{name}.csv.gz").read_bytes()))
        return read_weather(path), Lawn(*RECORDS[name])


def truths(
    book: RuleBook, asked: Sequence[Question], table: WeatherTable, lawn: Lawn
) -> tuple[list[int], Values]:
    """Season years, and whether each window was open: (questions, years, 366 days), NaN unknown."""
    facts = WeatherFacts(record_axis(table), lawn)
    years = [season.year for season in facts.seasons]
    out = np.full((len(asked), len(years), 366), np.nan)
    for q, question in enumerate(asked):
        truth = window_truth(question.window, facts, book.grasses[question.grass].traits)
        for past in past_windows(truth, facts):
            if past.certain:
                days = np.arange(366) + past.season.midsummer
                is_open = (days >= past.opens) & (days < past.closes) & (past.opens >= 0)
                out[q, years.index(past.season.year)] = is_open
    return years, out


def climatologies(came: Values) -> Values:
    """Share of the other years in which the window was open: shape as `came`."""
    known = ~np.isnan(came)
    total = np.nansum(came, axis=1, keepdims=True) - np.where(known, came, 0.0)
    count = known.sum(axis=1, keepdims=True) - known
    return np.where(known & (count > 0), total / np.maximum(count, 1), np.nan)


def cases(
    book: RuleBook,
    asked: Sequence[Question],
    place: int,
    leads: Sequence[int] = LEADS,
    step: int = STEP,
    year_step: int = 1,
) -> NDArray[np.void]:
    """Every prediction at a place that is scored, each past year left out in turn."""
    table, lawn = read_place(PLACES[place])
    years, came = truths(book, asked, table, lawn)
    usual = climatologies(came)
    scored = (usual >= SURE) & (usual <= 1 - SURE)
    rows = []
    for y, year in list(enumerate(years))[::year_step]:
        midsummer = dt.date(year, 6, 21)
        wanted: dict[int, list[tuple[int, int, int]]] = {}
        for q, _, day in zip(*np.nonzero(scored[:, y : y + 1, ::step]), strict=True):
            for lead in leads:
                wanted.setdefault(day * step - lead, []).append((int(q), day * step, lead))
        for stand, targets in sorted(wanted.items()):
            on = midsummer + dt.timedelta(days=int(stand))
            facts = left_out(table, lawn, on, year)
            for q in sorted({q for q, _, _ in targets}):
                opens, closes, known = predicted(book, asked[q], facts, year)
                if not known.any():
                    continue
                for _, day, lead in (t for t in targets if t[0] == q):
                    inside = (opens <= day) & (day < closes) & known & (opens >= 0)
                    chance = inside.sum() / known.sum()
                    rows.append(
                        (place, q, year, day, lead, chance, known.sum(), usual[q, y, day],
                         came[q, y, day])
                    )
    return np.array(rows, dtype=CASE)


def left_out(table: WeatherTable, lawn: Lawn, on: dt.date, year: int) -> WeatherFacts:
    """What is known on a day of a past year: the year so far, then every other year's days."""
    axis = build_axis(
        table, None, on, lawn.latitude, exclude_year=year, later_years_too=True
    )
    assert axis is not None
    return WeatherFacts(axis, lawn)


def predicted(
    book: RuleBook, question: Question, facts: WeatherFacts, year: int
) -> tuple[NDArray[np.int64], NDArray[np.int64], NDArray[np.bool_]]:
    """First and first no longer open day after midsummer of each member; and which know them."""
    season = next(s for s in facts.seasons if s.year == year)
    window, traits = question.window, book.grasses[question.grass].traits
    closes = None if window.closes is None else tree_on_axis(window.closes, facts, traits)
    found = find_intervals(
        tree_on_axis(window.opens, facts, traits),
        closes,
        boundary(window.after, season),
        boundary(window.until, season),
        window.held,
        window.closes_held,
    )
    start = season.midsummer
    opens = np.where(found.opens < 0, -999, found.opens - start)
    return opens, found.closes - start, found.certain
