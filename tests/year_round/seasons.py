"""Whether a job comes to "do" in the season that a source prints for it."""

from __future__ import annotations

import csv
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from grid import CLIMATES, Climate, axis_of, day_of, keeper_facts, wished_for

from advisor.decide.verdicts.decide import Decider
from advisor.rulebook.model import Example, RuleBook

TABLE = Path(__file__).parents[1] / "data" / "published_seasons.csv"
YEARS = 3
STEP = dt.timedelta(days=10)


@dataclass(frozen=True)
class Season:
    """A row of the table. first, last: (month, day); the season may pass the turn of the year.

    example: of the rule file, whose recorded facts make the lawn a suitable one; empty: its first
    "do". laid: facts of weather that are taken from it too, such as a drought that no record has.
    """

    operation: str
    grasses: tuple[str, ...]
    climate: Climate
    first: tuple[int, int]
    last: tuple[int, int]
    source: str
    words: str
    example: str = ""
    laid: tuple[str, ...] = ()


@dataclass(frozen=True)
class Cell:
    """A month of a season on one grass. verdicts: of each day tried."""

    season: Season
    grass: str
    month: int
    verdicts: tuple[tuple[dt.date, str], ...]

    @property
    def reached(self) -> bool:
        return any(verdict == "do" for _, verdict in self.verdicts)


def read_seasons() -> list[Season]:
    """The rows of tests/data/published_seasons.csv."""
    places = {climate.name: climate for climate in CLIMATES}
    with TABLE.open(encoding="utf-8") as file:
        return [
            Season(
                row["operation"], tuple(row["grasses"].split("|")), places[row["climate"]],
                _month_day(row["first"]), _month_day(row["last"]), row["source"], row["words"],
                row["example"], tuple(row["laid"].split()),
            )
            for row in csv.DictReader(file)
        ]  # fmt: skip


def _month_day(text: str) -> tuple[int, int]:
    month, day = text.split("-")
    return int(month), int(day)


def days_of(season: Season, years: int = YEARS) -> Iterator[dt.date]:
    """Each tenth day of the season, and its last one, over the years up to the climate's own."""
    for year in range(season.climate.year - years + 1, season.climate.year + 1):
        last = dt.date(year, *season.last)
        wraps = season.first > season.last
        day = dt.date(year - 1 if wraps else year, *season.first)
        while day < last:
            yield day
            day += STEP
        yield last


def example_of(book: RuleBook, season: Season, grass: str) -> Example:
    """The example that makes the cells of a row suitable."""
    operation = book.operations[season.operation]
    if season.example:
        return next(e for e in operation.examples if e.name == season.example)
    example = wished_for(operation, book, grass)
    assert example is not None, (season.operation, grass)
    return example


def cells(
    book: RuleBook, season: Season, folder: Path, grasses: int = 99, years: int = YEARS
) -> Iterator[Cell]:
    """A cell for each grass and month, with the facts of the job's own example.

    Monthly normals have no years of their own: one is enough.
    """
    for grass in season.grasses[:grasses]:
        example = example_of(book, season, grass)
        traits = book.grasses[grass].traits
        known = {n: v for n, v in keeper_facts(book, example).items() if n not in traits}
        known |= {name: example.facts[name] for name in season.laid}
        found: dict[int, list[tuple[dt.date, str]]] = {}
        for on in days_of(season, years if season.climate.file.endswith(".gz") else 1):
            axis = axis_of(replace(season.climate, year=on.year), on, folder)
            day = day_of(book, season.climate, grass, axis, on, known)
            verdict = Decider(book, day, "metric").decide(season.operation).verdict
            found.setdefault(on.month, []).append((on, verdict))
        for month, verdicts in sorted(found.items()):
            yield Cell(season, grass, month, tuple(verdicts))
