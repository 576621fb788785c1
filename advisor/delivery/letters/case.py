"""What can matter to a digest, and nothing else: readers with equal cases get equal digests.

A lawn is made from the case alone, so that nothing about a reader can reach a digest unless it is
part of the key by which digests are shared.
"""

from __future__ import annotations

import datetime as dt
import hashlib
import json
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from advisor.base.units import System
from advisor.cases.lawn import Lawn
from advisor.delivery.readers.reader import Measured, Reader
from advisor.delivery.readers.weather_places import Cell, CellWeather
from advisor.delivery.readers.wishes import Form, Weeks
from advisor.rulebook.model import RuleBook
from advisor.site.entry import JournalRules, NewEntry
from advisor.site.entry_checks import check_new
from advisor.site.journal import Journal
from advisor.site.record import Area, GrassShare, Location, Site
from advisor.site.words import UNKNOWN_GRASS

NO_FOLDER = Path("-")
"""A reader has no folder of their own: no kept digests and no plan lie there."""
_AREA = "lawn"


@dataclass(frozen=True)
class Case:
    """cell: None where no weather record is near; the position is then the reader's own, rounded.

    latitude, longitude: of the cell, degrees. area_m2: 0 if it is not known, or if the grass is
    not: amounts are those of a grass. country, subdivision:
    for the laws of the place. form, weeks: as the reader wishes.
    """

    cell: Cell | None
    latitude: float
    longitude: float
    grass: str
    country: str
    subdivision: str
    units: System
    measured: tuple[Measured, ...]
    area_m2: float
    form: Form = "both"
    weeks: Weeks = "all"

    @property
    def of_any_size(self) -> Case:
        """The case without the size of the lawn and the wishes, on which no verdict depends."""
        return replace(self, area_m2=0.0, form="both", weeks="all")

    @property
    def told_nothing(self) -> bool:
        """Whether the reader told no more than place and grass, and wishes for nothing special."""
        return self == replace(self.of_any_size, measured=())

    @property
    def line(self) -> str:
        """A hash of what stays the same from week to week: whose calendar goes on in whose."""
        cell = replace(self.cell, hash="") if self.cell else None
        return replace(self.of_any_size, cell=cell).key()

    def key(self, *parts: str) -> str:
        """A hash of the case and of what else goes into a copy."""
        data = json.dumps([asdict(self), *parts], sort_keys=True, default=str)
        return hashlib.sha256(data.encode()).hexdigest()


def case_of(reader: Reader, cell: Cell | None) -> Case:
    """The case of a reader whose weather is that of a cell."""
    # Without weather only the hemisphere and the laws matter.
    known = reader.grass != UNKNOWN_GRASS
    latitude = cell.latitude if cell else (1.0 if reader.latitude >= 0 else -1.0)
    return Case(
        cell, latitude, cell.longitude if cell else 0.0, reader.grass, reader.country,
        reader.subdivision, reader.units, reader.measured,
        (reader.area_m2 or 0.0) if known else 0.0, reader.wishes.form or "both",
        reader.wishes.weeks or "all",
    )  # fmt: skip


def lawn_of(case: Case, weather: CellWeather, book: RuleBook, today: dt.date) -> Lawn:
    """The lawn of a case: only what the reader told; the rest is unknown, never guessed."""
    title = "A lawn" if case.grass not in book.grasses else book.grasses[case.grass].title
    near = f", weather of {case.cell.name}" if case.cell else ""
    site = Site(
        name=f"{title[0].upper()}{title[1:]}{near}",
        place=Location(
            latitude=case.latitude,
            longitude=case.longitude,
            country=case.country or None,
            subdivision=case.subdivision or None,
        ),
        stand=(GrassShare(grass=case.grass),),
        # A site file must give a size; where it is not known `compose` tells no amounts.
        areas=(Area(name=_AREA, size=case.area_m2 or 1.0),),
        units=case.units,
    )
    rules = JournalRules(book.vocabulary.definitions, frozenset(book.operations), today)
    entries = tuple(
        check_new(NewEntry(m.on, "observation", m.fact, m.value), rules) for m in case.measured
    )
    numbered = tuple(replace(e, id=f"r{n}") for n, e in enumerate(entries, 1))
    return Lawn(NO_FOLDER, site, Journal(numbered), weather.record, weather.normals, book)
