"""What can matter to a letter, and nothing else: readers with equal keys get equal letters.

A reader's case is made from the key alone (`reader_case`), so that nothing about a reader can reach
a letter unless it is part of the key by which letters are shared.
"""

from __future__ import annotations

import hashlib
import json

from advisor.base.record import Record, asdict, replace
from advisor.base.units import System
from advisor.mailing.readers.reader import Measured, Reader
from advisor.mailing.readers.weather_places import Cell
from advisor.mailing.readers.wishes import Form, Weeks
from advisor.records.words import UNKNOWN_GRASS


class LetterKey(Record, frozen=True):
    """cell: None where no weather record is near; the position is then the reader's own, rounded.

    latitude, longitude: of the cell, degrees. area_m2: None if it is not known, or if the grass is
    not: amounts are those of a grass. country, subdivision: for the laws of the place. form, weeks:
    as the reader wishes. said: in the reader's last letter, whose changes are told (`said_of`);
    empty where there was none.
    """

    cell: Cell | None
    latitude: float
    longitude: float
    grass: str
    country: str
    subdivision: str
    units: System
    measured: tuple[Measured, ...]
    area_m2: float | None
    form: Form = "both"
    weeks: Weeks = "all"
    said: str = ""

    @property
    def of_any_size(self) -> LetterKey:
        """The key without size, wishes and what was said before, on which no verdict depends."""
        return replace(self, area_m2=None, form="both", weeks="all", said="")

    @property
    def told_nothing(self) -> bool:
        """Whether the reader told no more than place and grass, and wishes for nothing special."""
        return replace(self, said="") == replace(self.of_any_size, measured=())

    @property
    def line(self) -> str:
        """A hash of what stays the same from week to week: whose calendar goes on in whose."""
        cell = replace(self.cell, hash="") if self.cell else None
        return replace(self.of_any_size, cell=cell).hashed()

    def hashed(self, *parts: str) -> str:
        """A hash of the key and of what else goes into a copy."""
        # An unknown size has always been 0 here, and calendars go on under such a hash.
        told = asdict(self) | {"area_m2": self.area_m2 or 0.0}
        if not self.said:
            del told["said"]  # nor was what a letter said once part of it
        data = json.dumps([told, *parts], sort_keys=True, default=str)
        return hashlib.sha256(data.encode()).hexdigest()


def key_of(reader: Reader, cell: Cell | None, said: str = "") -> LetterKey:
    """The key of a reader whose weather is that of a cell. said: in the reader's last letter."""
    # Without weather only the hemisphere and the laws matter.
    known = reader.grass != UNKNOWN_GRASS
    latitude = cell.latitude if cell else (1.0 if reader.latitude >= 0 else -1.0)
    return LetterKey(
        cell, latitude, cell.longitude if cell else 0.0, reader.grass, reader.country,
        reader.subdivision, reader.units, reader.measured,
        reader.area_m2 if known else None, reader.wishes.form or "both",
        reader.wishes.weeks or "all", said,
    )  # fmt: skip
