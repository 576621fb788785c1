"""Postcodes to positions. Data: Countries States Cities Database, ODbL 1.0 (docs/places.md)."""

from __future__ import annotations

import re
from functools import cache

from advisor.base.record import Record
from advisor.places.regions import table

COUNTRIES = ("US", "CA", "AU", "NZ", "BE", "DK", "PL")
# Canada's first letters leave out D, F, I, O, Q, U, W and Z.
_CANADA = re.compile(r"([ABCEGHJ-NPRSTVXY]\d[A-Z])(?: ?\d[A-Z]\d)?")
_UNITED_STATES = re.compile(r"(\d{5})(?:-?\d{4})?")
_POLAND = re.compile(r"\d{2}-\d{3}")
_FOUR = re.compile(r"\d{4}")
_BRITAIN = re.compile(r"[A-Z]{1,2}\d[A-Z\d]?(?: ?\d[A-Z]{2})?")


class Postcode(Record, frozen=True):
    """A postcode's centre: degrees north and east. subdivision, locality: empty if not known."""

    code: str
    country: str
    subdivision: str
    locality: str
    latitude: float
    longitude: float


def looks_like_postcode(text: str) -> bool:
    """Whether the text has the form of a postcode of any country; a digit is in all of them."""
    return bool(re.fullmatch(r"[A-Z\d]{2,5}(?:[ -]?[A-Z\d]{2,4})?", text.upper())) and any(
        c.isdigit() for c in text
    )


def is_british(text: str) -> bool:
    """Whether the text has the form of a British postcode or its first half."""
    return bool(_BRITAIN.fullmatch(text.upper()))


def postcodes(text: str) -> list[Postcode]:
    """Every postcode the text can be, one for each country that has it."""
    plain = " ".join(text.upper().split())
    if found := _CANADA.fullmatch(plain):
        return _rows(found[1])
    if found := _UNITED_STATES.fullmatch(plain):
        return _rows(found[1])
    if _POLAND.fullmatch(plain) or _FOUR.fullmatch(plain):
        return _rows(plain)
    return []


def _rows(code: str) -> list[Postcode]:
    rows, found = table("postcodes"), []
    for at in _starts().get(code, ()):
        _, country, part, locality, north, east = rows[at : rows.find("\n", at)].split("\t")
        found.append(Postcode(code, country, part, locality, float(north), float(east)))
    return found


@cache
def _starts() -> dict[str, list[int]]:
    """Where the lines of each code begin: a list of many readers asks for many of them."""
    rows, at = table("postcodes"), 1
    starts: dict[str, list[int]] = {}
    for line in rows[1:].splitlines():
        starts.setdefault(line.partition("\t")[0], []).append(at)
        at += len(line) + 1
    return starts
