"""One row of a list's file to a reader, or to what is wrong with it, field by field."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from functools import lru_cache, partial
from typing import TypeVar

from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.base.record import Record
from advisor.base.units import System, UnitError, parse_quantity
from advisor.mailing.mails.cells_text import harmless, mail_address, shown
from advisor.mailing.readers.reader import Measured, Reader
from advisor.mailing.readers.wishes import Wishes, form_of, weeks_of
from advisor.places.locate import locate
from advisor.places.town import Spot
from advisor.records.entry import JournalRules, NewEntry, check_new
from advisor.records.ranges import say_range
from advisor.records.words import UNKNOWN_GRASS, as_name
from advisor.rulebook.model import RuleBook

REQUIRED = ("address", "place", "grass", "permission_on", "permission_source")
OPTIONAL = ("name", "country", "area", "units", "form", "weeks", "measured_on")
_ISO = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}\Z")
_AREA_M2 = (1.0, 1e6)
"""As in a site file: only to catch slips of the pen."""
T = TypeVar("T")


class Refusal(Record, frozen=True):
    """Why a field of a row was refused: what was found there, and what is wrong and wanted."""

    line: int
    field: str
    found: str
    why: str

    def __str__(self) -> str:
        said = f"'{shown(self.found)}' " if self.found else ""
        return f"line {self.line}, {self.field}: {said}{self.why}"


def measurable(book: RuleBook) -> frozenset[str]:
    """The facts that a list's file may have a column for: what a keeper measures or tells."""
    return frozenset(n for n, f in book.vocabulary.definitions.items() if f.varies == "record")


def read_row(
    cells: Mapping[str, str], line: int, book: RuleBook, today: dt.date
) -> tuple[Reader | None, list[Refusal]]:
    """The reader of a row, or None and every refusal. cells: column to text, as in the file."""
    refused: list[Refusal] = []

    def take(field: str, read: Callable[[str], T], empty: T | None = None) -> T | None:
        text = cells.get(field, "")
        if not text.strip(" "):
            if field in REQUIRED:
                refused.append(Refusal(line, field, "", "is missing"))
            return empty
        try:
            return read(text)
        except ValueError as error:
            refused.append(Refusal(line, field, text, str(error)))
            return None

    address = take("address", mail_address)
    name = take("name", harmless, "")
    country = take("country", _country, "")
    spot = (
        None
        if country is None
        else take("place", lambda text: _spot(harmless(text, signed=True), country))
    )
    grass = take("grass", lambda text: _grass(harmless(text), book))
    area = take("area", lambda text: _area(harmless(text)))
    units = take("units", lambda text: system_of(harmless(text)))
    form = take("form", lambda text: form_of(harmless(text)))
    weeks = take("weeks", lambda text: weeks_of(harmless(text)))
    permission_on = take("permission_on", lambda text: _day(harmless(text), today))
    source = take("permission_source", harmless)
    measured_on = take("measured_on", lambda text: _day(harmless(text), today))
    measured = []
    for fact in cells.keys() & measurable(book):
        read = partial(_measured, fact, measured_on, book, today)
        found = take(fact, read)
        if found is not None:
            measured.append(found)
    if refused:
        return None, refused
    # Where nothing was refused, whatever is required is there.
    assert address
    assert name is not None
    assert spot
    assert grass
    assert permission_on
    assert source
    home: System = "us" if spot.country == "US" else "metric"
    reader = Reader(
        address, name, spot.latitude, spot.longitude, " ".join(cells["place"].split()),
        spot.country, spot.subdivision, spot.time_zone, grass, area, units or home, permission_on,
        source, tuple(sorted(measured, key=lambda m: m.fact)), wishes=Wishes(units, form, weeks),
    )  # fmt: skip
    return reader, []


def _country(text: str) -> str:
    code = harmless(text).upper()
    if not re.fullmatch("[A-Z]{2}", code):
        raise ValueError("is no country; wanted its two letters, such as US")
    return code


@lru_cache(maxsize=8_192)
def _spot(text: str, country: str) -> Spot:
    try:
        found = locate(text)
    except BadInput as error:
        said = error.problems[0].what
        raise ValueError(said.removeprefix(f"'{text}' ")) from None
    inside = [spot for spot in found if spot.country == country] if country else list(found)
    if not inside:
        raise ValueError(f"lies in {found[0].country or 'no country'}, not in {country}")
    if len(inside) > 1:
        few = "; ".join(spot.label for spot in inside[:3])
        raise ValueError(f"is {len(inside)} places ({few} …); add the state and the country")
    return inside[0]


def _grass(text: str, book: RuleBook) -> str:
    name = str(as_name(text))
    if name in book.grasses or name == UNKNOWN_GRASS:
        return name
    known = ", ".join((*sorted(book.grasses), UNKNOWN_GRASS))
    hint = did_you_mean(name, book.grasses) or f"; wanted one of {known}"
    raise ValueError(f"is no grass of the rule book{hint}")


def _area(text: str) -> float:
    try:
        size = parse_quantity(text, "m2")
    except UnitError as error:
        raise ValueError(f"is no area ({error})") from None
    if not _AREA_M2[0] <= size <= _AREA_M2[1]:
        raise ValueError(f"is not plausible; wanted {say_range('m2', *_AREA_M2)}")
    return size


def system_of(text: str) -> System:
    """`us` or `metric`. Raises `ValueError` with what is wanted."""
    word = text.lower()
    if word == "us":
        return "us"
    if word == "metric":
        return "metric"
    raise ValueError("is no system of units; wanted us or metric")


def _day(text: str, today: dt.date) -> dt.date:
    try:
        day = dt.date.fromisoformat(text) if _ISO.match(text) else None
    except ValueError:
        day = None
    if day is None or day.year < 1990:
        raise ValueError("is no date; wanted YYYY-MM-DD")
    if day > today:
        raise ValueError(f"lies in the future (today is {today})")
    return day


def _measured(
    fact: str, on: dt.date | None, book: RuleBook, today: dt.date, written: str
) -> Measured:
    text = harmless(written)
    if on is None:
        raise ValueError("has no day; wanted a date in the column measured_on")
    rules = JournalRules(book.vocabulary.definitions, frozenset(book.operations), today)
    try:
        check_new(NewEntry(on, "observation", fact, text), rules)
    except BadInput as error:
        said = error.problems[0].what
        raise ValueError(said.partition("): ")[2] or said) from None
    return Measured(fact, text, on)


def read_header(header: list[str], file: str, book: RuleBook) -> list[str]:
    """The columns of a header. Raises `BadInput` for one that is missing, unknown or twice."""
    names = [str(as_name(title)) for title in header]
    known = {*REQUIRED, *OPTIONAL, *measurable(book)}
    wrong = [
        f"column '{shown(n)}' is not known{did_you_mean(n, known)}" for n in names if n not in known
    ]
    wrong += [f"column '{n}' is missing" for n in REQUIRED if n not in names]
    wrong += [
        f"column '{n}' stands twice" for n in sorted({n for n in names if names.count(n) > 1})
    ]
    if wrong:
        wanted = f"wanted {', '.join(REQUIRED)}; may have {', '.join(OPTIONAL)} and measurements"
        raise BadInput.at(Place(file, 1), f"{'; '.join(wrong)}; {wanted}")
    return names
