"""What is made beside the mail of an edition: a calendar's events, and what a public page says."""

from __future__ import annotations

import datetime as dt
import uuid

from advisor.advice.book import Advice
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record, replace
from advisor.mailing.letters.letter_key import LetterKey
from advisor.mailing.letters.mail_words import NO_RECORD, in_mail_words
from advisor.render.yearly.calendar_events import Event
from advisor.render.yearly.calendar_plan import events_of

_NAMESPACE = uuid.UUID("0b0c1f0e-53c4-5d0e-9a55-2f6d1a7c9e37")
"""Ours, drawn once; it only has to stay the same."""
_NONE = "None of the coming seasons can be told."
_GRASS = (
    "First find out which grass it is: take a sample with roots to a garden club or an extension "
    "office, and answer the week's mail with its name."
)


class Page(Record, frozen=True):
    """Of whom a digest without anything personal is: all readers with this grass at this place.

    place: of the weather record. grass: its title. region: whose laws, such as `IA, US`; it
    may be empty. units: `us` or `metric`.
    """

    place: str
    grass: str
    region: str
    units: str


class Beside(Record, frozen=True):
    """line: tells the calendar that this one continues. page: None where the digest holds what one
    reader told of the lawn, so that it is shown to nobody else."""

    line: str
    events: tuple[Event, ...]
    page: Page | None

    @property
    def not_shown(self) -> Beside:
        """The same without a page."""
        return replace(self, page=None)


def beside_of(key: LetterKey, advice: Advice, *, known: bool) -> Beside:
    """What goes with the digest of a key. known: whether it is known which grass it is."""
    case, events = advice.case, tuple[Event, ...]()
    if known and advice.basis is not None:
        found = events_of(advice, key.line)
        events = tuple(replace(event, text=in_mail_words(event.text)) for event in found)
    if not events:
        # A calendar holds at least one component (RFC 5545 section 3.6); it may say why no more.
        why = (_GRASS if not known else _NONE) if key.cell else NO_RECORD
        events = (_no_season(key, case.on, why),)
    page = None
    if key.cell is not None and not key.measured:
        named = case.book.grasses.get(key.grass)
        grass = named.title if named else "Grass not known"
        region = ", ".join(filter(None, (key.subdivision, key.country)))
        page = Page(key.cell.name, grass[0].upper() + grass[1:], region, key.units)
    return Beside(key.line, events, page)


def _no_season(key: LetterKey, on: dt.date, why: str) -> Event:
    uid = str(uuid.uuid5(_NAMESPACE, key.line))
    return Event(uid, on, on + ONE_DAY, None, "Lawn seasons: none can be told yet", why)
