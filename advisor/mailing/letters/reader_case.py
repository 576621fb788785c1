"""A case from what a reader of the mailing told: the rest is unknown, never guessed."""

from __future__ import annotations

import datetime as dt

from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.mailing.letters.letter_key import LetterKey
from advisor.mailing.readers.weather_places import CellWeather
from advisor.records.entry import JournalRules, NewEntry, check_new
from advisor.records.journal import Journal
from advisor.records.record import Area, GrassShare, Location, Site
from advisor.rulebook.model import RuleBook

_AREA = "lawn"
_NAME = "a reader's lawn"


def case_of(
    key: LetterKey, weather: CellWeather, book: RuleBook, on: dt.date, today: dt.date
) -> Case:
    """The case of a key on a day. No plan is kept of a reader, and no verdict hangs on what an
    earlier letter said."""
    title = "A lawn" if key.grass not in book.grasses else book.grasses[key.grass].title
    near = f", weather of {key.cell.name}" if key.cell else ""
    site = Site(
        name=f"{title[0].upper()}{title[1:]}{near}",
        place=Location(
            latitude=key.latitude,
            longitude=key.longitude,
            country=key.country or None,
            subdivision=key.subdivision or None,
        ),
        stand=(GrassShare(grass=key.grass),),
        # As numbers, not as a file's words: they are checked where readers are read.
        areas=(Area(name=_AREA, size=key.area_m2),),
        units=key.units,
    )
    rules = JournalRules(book.vocabulary.definitions, frozenset(book.operations), today)
    entries = tuple(
        check_new(NewEntry(m.on, "observation", m.fact, m.value), rules) for m in key.measured
    )
    numbered = tuple(replace(e, id=f"r{n}") for n, e in enumerate(entries, 1))
    return Case(on, _NAME, site, Journal(numbered), weather.record, weather.normals, book)
