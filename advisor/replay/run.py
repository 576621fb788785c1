"""A rule book run over the past years of a lawn's record."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping

from advisor.answers.words import Words
from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.base.record import Record
from advisor.cases.case import Case
from advisor.cases.parts import Part, parts_on
from advisor.decide.verdicts.forward import facts_as_series
from advisor.facts.weather_facts import WeatherFacts
from advisor.replay.conditions_said import say_condition
from advisor.replay.history import record_axis
from advisor.replay.seasons import SeasonRow, season_rows
from advisor.rulebook.model import Operation
from advisor.weather.kept_weather import WEATHER_FILE, no_record


class Replay(Record, frozen=True):
    """rows: each window in each season year, in the order of the rule files.

    grass: id of the grass replayed. title: its title. others: titles of the grasses of further
    parts of the lawn, which were not. rulebook: hash. first, last: observed days of the record.
    midsummer: month and day on which a season year starts. titles: of operation and window, by
    (operation, window).
    """

    site: str
    grass: str
    title: str
    others: tuple[str, ...]
    rulebook: str
    first: dt.date
    last: dt.date
    midsummer: tuple[int, int]
    titles: Mapping[tuple[str, str], tuple[str, str]]
    rows: tuple[SeasonRow, ...]

    @property
    def seasons(self) -> tuple[int, int]:
        """The oldest and the newest season year replayed."""
        years = [row.season for row in self.rows]
        return min(years), max(years)


def replay(case: Case, *, grass: str = "", operation: str = "") -> Replay:
    """Run the windows of the lawn's rule book over its record, the soil as its readings say.

    grass: by default that of the largest part. operation: by default all that are for the grass.
    Raises `BadInput` for a name that the rule book does not know, an operation that is not for the
    grass, and a record without a whole season.
    """
    _check_name(grass, case.book.grasses, "grass")
    _check_name(operation, case.book.operations, "operation")
    if case.weather is None:
        raise no_record(case.place(WEATHER_FILE), case.command("weather"))
    record = Place(case.weather.source.file)
    part, *others = parts_on(case, grass or None)
    day = part.decider.day
    if day.weather is None:
        raise BadInput.at(record, "all of its days are in the future")
    chosen = _operations(part, operation)
    axis = record_axis(case.weather)
    facts = WeatherFacts(axis, day.weather.lawn)
    vocabulary, words = case.book.vocabulary, Words(case.site.unit_system)
    stated = (name for name, fact in vocabulary.definitions.items() if fact.varies == "site")
    rows = season_rows(
        chosen,
        facts,
        facts_as_series(day.values(stated)),
        lambda leaf: say_condition(leaf, vocabulary[leaf.fact], words),
    )
    start = axis.date(facts.seasons[0].midsummer)
    found = Replay(
        site=case.site.name,
        grass=part.grass,
        title=case.book.grasses[part.grass].title,
        others=tuple(case.book.grasses[other.grass].title for other in others),
        rulebook=case.book.hash,
        first=axis.date(0),
        last=axis.date(axis.today),
        midsummer=(start.month, start.day),
        titles={(o.id, w.id): (o.title, w.title) for o in chosen for w in o.windows},
        rows=tuple(rows),
    )
    if not found.rows:
        what = "holds no whole season of a window; to replay takes a record of more than a year"
        raise BadInput.at(record, what)
    return found


def _operations(part: Part, operation: str) -> tuple[Operation, ...]:
    """The operations asked about, resolved for the part's grass."""
    book, suited = part.decider.book, part.decider.operations()
    grass = book.grasses[part.grass]
    if operation and operation not in suited:
        raise BadInput.at(Place("--operation"), f"'{operation}' is not for {grass.title}")
    return tuple(book.operations[id].for_grass(grass) for id in suited if operation in ("", id))


def _check_name(name: str, known: Iterable[str], noun: str) -> None:
    if name and name not in known:
        hint = did_you_mean(name, known) or f"; known: {', '.join(sorted(known))}"
        raise BadInput.at(Place(f"--{noun}"), f"no {noun} '{name}'{hint}")
