"""Judge the chances of open windows on past years, each left out in turn. Run by hand:

    python docs/validation/chances.py [FOLDER_OF_RULES]

Reads the weather under tests/data/weather. Writes chances.md and chances.svg beside this file, with
chances_page.py. About three minutes.
"""

from __future__ import annotations

import datetime as dt
import gzip
import sys
import tempfile
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from published_pairs import RECORDS, WEATHER

from advisor.decide.windows.tracks import chance_of_days, tracks
from advisor.facts.axis import build_axis
from advisor.facts.weather_facts import Lawn, WeatherFacts
from advisor.replay.history import past_windows, record_axis
from advisor.rulebook.conditions import leaves
from advisor.rulebook.model import RuleBook, Window
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather
from advisor.weather.table import WeatherTable

PLACES = ("champion_ne", "central_iowa", "norfolk_uk", "clemson_sc")
OPERATIONS = ("overseeding", "thatch_removal", "core_aeration", "dormant_seeding", "spring_seeding")
GRASSES = ("kentucky_bluegrass", "tall_fescue")
LEADS = (0, 14, 28, 56)
"""Days from the day stood on to the day asked about."""
STEP = 7
"""Every how many days of the season year a day is asked about."""
SURE = 0.1
"""Days on which at least 1 minus this share of the other years agree are not scored."""
SEASON = 366
BOOTSTRAPS = 4000

Values = NDArray[np.float64]
Cases = NDArray[np.void]

CASE = np.dtype(
    [
        *((name, "i4") for name in ("place", "question", "year", "day", "lead", "members")),
        *((name, "f8") for name in ("chance", "usual", "came")),
    ]
)
"""One prediction. day: days after midsummer. members: years behind the chance. usual: climatology,
the share of the other years in which the window was open. came: 1 if it was open, else 0."""


@dataclass(frozen=True)
class Question:
    """One window of an operation, resolved for its grass. name: for the tables."""

    name: str
    grass: str
    window: Window


def questions(book: RuleBook, operations: Iterable[str] = OPERATIONS) -> list[Question]:
    """The windows of the operations for the grasses; one that two grasses share stands once."""
    found: dict[object, Question] = {}
    for id in operations:
        for grass in (book.grasses[name] for name in GRASSES):
            operation = book.operations[id].for_grass(grass)
            for window in operation.windows:
                name = f"{operation.title}, {window.title}"
                question = Question(f"{name} ({grass.title})", grass.id, window)
                key = (id, window.id, _limits(window))
                if key in found:
                    question = Question(name, found[key].grass, window)
                found[key] = question
    return list(found.values())


def _limits(window: Window) -> tuple[object, ...]:
    trees = [tree for tree in (window.opens, window.closes) if tree is not None]
    return tuple((leaf.fact, leaf.comparison, leaf.limit) for t in trees for leaf in leaves(t))


def read_place(name: str) -> tuple[WeatherTable, Lawn]:
    """A place's record, and a lawn there."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / f"{name}.csv"
        path.write_bytes(gzip.decompress((WEATHER / f"{name}.csv.gz").read_bytes()))
        return read_weather(path), Lawn(*RECORDS[name])


def truths(
    book: RuleBook, asked: Sequence[Question], table: WeatherTable, lawn: Lawn
) -> tuple[list[int], Values]:
    """Season years, and whether each window was open, from the whole weather of each year.

    (questions, years, SEASON) from midsummer on; NaN where the record does not tell.
    """
    facts = WeatherFacts(record_axis(table), lawn)
    years = [season.year for season in facts.seasons]
    out = np.full((len(asked), len(years), SEASON), np.nan)
    for q, question in enumerate(asked):
        for past in past_windows(question.window, facts, book.grasses[question.grass].traits):
            if past.known:
                days = np.arange(SEASON) + past.season.midsummer
                row = past.opened & (days >= past.opens) & (days < past.closes)
                out[q, years.index(past.season.year)] = row
    return years, out


def climatology(came: Values) -> Values:
    """Share of the other years in which the window was open; the shape of `came`."""
    known = ~np.isnan(came)
    others = known.sum(axis=1, keepdims=True) - known
    opened = np.nansum(came, axis=1, keepdims=True) - np.where(known, came, 0.0)
    return np.where(known & (others > 0), opened / np.maximum(others, 1), np.nan)


def predict(
    book: RuleBook,
    asked: Sequence[Question],
    place: str,
    *,
    step: int = STEP,
    leads: Sequence[int] = LEADS,
    every: int = 1,
) -> Cases:
    """All predictions at a place on days that are scored, each past year left out in turn.

    every: judge only every so-manieth year.
    """
    table, lawn = read_place(place)
    years, came = truths(book, asked, table, lawn)
    usual = climatology(came)
    scored = (usual >= SURE) & (usual <= 1 - SURE)
    rows = []
    for y in range(0, len(years), every):
        # Many questions stand on the same day: its ensemble is built once.
        wanted: dict[int, list[tuple[int, int]]] = {}
        for q, week in zip(*np.nonzero(scored[:, y, ::step]), strict=True):
            for lead in leads:
                wanted.setdefault(int(week) * step - lead, []).append((int(q), lead))
        for stood, cases in sorted(wanted.items()):
            on = dt.date(years[y], 6, 21) + dt.timedelta(days=stood)
            for q, lead, members, chance in _stand(book, asked, table, lawn, on, years[y], cases):
                day = stood + lead
                truth = (usual[q, y, day], came[q, y, day])
                rows.append((PLACES.index(place), q, years[y], day, lead, members, chance, *truth))
    return np.array(rows, dtype=CASE)


def _stand(
    book: RuleBook,
    asked: Sequence[Question],
    table: WeatherTable,
    lawn: Lawn,
    on: dt.date,
    year: int,
    cases: Iterable[tuple[int, int]],
) -> Iterator[tuple[int, int, int, float]]:
    """What is said on a day of a past year: question, lead, members that know, and the chance.

    The year so far is its own; its other days are those of every other year, earlier and later.
    """
    axis = build_axis(table, None, on, lawn.latitude, exclude_year=year, later_years_too=True)
    assert axis is not None
    facts = WeatherFacts(axis, lawn)
    said: dict[int, tuple[int, Values]] = {}
    for q, lead in cases:
        if q not in said:
            question = asked[q]
            traits = book.grasses[question.grass].traits
            track = next(t for t in tracks(question.window, facts, traits) if t.season == year)
            known = int(track.found.certain.sum())
            said[q] = known, chance_of_days(track.found, axis.shape[1])
        members, chances = said[q]
        if members:
            yield q, lead, members, float(chances[axis.today + lead])


def brier_by_year(cases: Cases, said: Values) -> tuple[NDArray[np.int64], Values]:
    """Calendar years, and for each the sum over its places of the place's mean Brier score.

    Days of one year are alike, so a place and year is one trial however many days it has.
    """
    trials, which = np.unique(cases["place"] * 10_000 + cases["year"], return_inverse=True)
    scores = np.bincount(which, (said - cases["came"]) ** 2) / np.bincount(which)
    years, at = np.unique(trials % 10_000, return_inverse=True)
    return years, np.bincount(at, scores)


@dataclass(frozen=True)
class Skill:
    """1 - Brier score / that of climatology, with a 95 % bootstrap interval over years."""

    cases: int
    trials: int
    brier: float
    usual: float
    skill: float
    low: float
    high: float


def skill(cases: Cases, said: Values | None = None) -> Skill:
    """The skill of `said` (default: the chances) over climatology."""
    years, own = brier_by_year(cases, cases["chance"] if said is None else said)
    _, usual = brier_by_year(cases, cases["usual"])
    trials = len(np.unique(cases["place"] * 10_000 + cases["year"]))
    draws = np.random.default_rng(1).integers(0, len(years), (BOOTSTRAPS, len(years)))
    drawn = 1 - own[draws].sum(axis=1) / usual[draws].sum(axis=1)
    low, high = np.quantile(drawn, (0.025, 0.975))
    ours, theirs = float(own.sum()), float(usual.sum())
    return Skill(
        cases=len(cases),
        trials=trials,
        brier=ours / trials,
        usual=theirs / trials,
        skill=1 - ours / theirs,
        low=float(low),
        high=float(high),
    )


def main() -> None:
    """Predict, judge, write the page and the picture."""
    from chances_page import page, picture

    book = read_rulebook(Path(sys.argv[1]) if len(sys.argv) > 1 else None, cache=False)
    asked = questions(book)
    cases = np.concatenate([predict(book, asked, place) for place in PLACES])
    here = Path(__file__)
    here.with_suffix(".md").write_text(page(cases, asked), encoding="utf-8")
    here.with_suffix(".svg").write_text(picture(cases), encoding="utf-8")


if __name__ == "__main__":
    main()
