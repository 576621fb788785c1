"""Conditions and their limits, what each limit rests on, and the numbers that its range names.

Truth is three-valued (Kleene 1952, *Introduction to Metamathematics*, section 64): true, false, or
None for unknown.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from functools import lru_cache
from typing import Literal

from advisor.base.problems import Place
from advisor.base.record import Record
from advisor.base.units import UnitError, parse_quantity

EvidenceKind = Literal["published", "derived", "common_practice", "from_memory"]

_READ = {
    "abstract": " (abstract read)",
    "second_hand": " (as restated elsewhere)",
    "memory": " (not read, from memory)",
}


class Source(Record, frozen=True):
    """One entry of rules/sources.yaml."""

    id: str
    authors: str
    title: str
    number: str = ""
    year: int | None = None
    kind: str = ""
    read: str = ""
    address: str = ""

    def __str__(self) -> str:
        number = f", {self.number}" if self.number else ""
        year = f" ({self.year})" if self.year else ""
        return f"{self.authors}{year}: {self.title}{number}"


class Evidence(Record, frozen=True):
    """Why a number is what it is. `source` is None for common practice and memory."""

    id: str
    kind: EvidenceKind
    says: str = ""
    source: Source | None = None
    at: str = ""
    checked: dt.date | None = None

    def __str__(self) -> str:
        if self.source is not None:
            where = f", {self.at}" if self.at else ""
            how = _READ.get(self.source.read, "")
            return f"{self.source}{where}{how}"
        label = {"common_practice": "common practice, no source", "from_memory": "from memory"}
        text = label.get(self.kind, self.kind)
        return f"{text}: {self.says}" if self.says else text


Truth = bool | None
Limit = float | bool | str
Comparison = Literal[
    "over", "under", "at_least", "at_most", "is", "is_not", "one_of", "none_of", "known"
]
Grouping = Literal["all", "any", "none"]

NUMERIC: frozenset[Comparison] = frozenset({"over", "under", "at_least", "at_most"})


class Leaf(Record, frozen=True):
    """`fact` compared with `limit`, which is in the fact's canonical unit.

    For `one_of` and `none_of` the limit is a tuple; for `known` it is True or False. Every
    comparison but `known` is unknown when the fact is.
    `says` is the sentence when the comparison holds, `otherwise` when it does not. `range` tells
    how far sources differ about the limit.
    `error` is the fact's own measurement error in its canonical unit: a value nearer to a numeric
    limit than that is a close call. `path` names the leaf in its file, such as `need.all.0`.
    """

    fact: str
    comparison: Comparison
    limit: Limit | tuple[Limit, ...]
    says: str = ""
    otherwise: str = ""
    evidence: tuple[str, ...] = ()
    range: str = ""
    error: float = 0.0
    path: str = ""
    place: Place | None = None


class Group(Record, frozen=True):
    """all: every part; any: at least one part; none: no part. `parts` is never empty."""

    how: Grouping
    parts: tuple[Condition, ...]


Condition = Leaf | Group


def leaves(condition: Condition) -> Iterator[Leaf]:
    """Every leaf of a tree, in file order."""
    if isinstance(condition, Leaf):
        yield condition
        return
    for part in condition.parts:
        yield from leaves(part)


def facts_of(condition: Condition) -> frozenset[str]:
    """The names of the facts that a tree reads."""
    return frozenset(leaf.fact for leaf in leaves(condition))


_WORDS = {
    "one": "1", "two": "2", "three": "3", "four": "4", "five": "5", "six": "6", "seven": "7",
    "eight": "8", "nine": "9", "ten": "10", "eleven": "11", "twelve": "12", "fourteen": "14",
    "sixteen": "16", "twenty": "20",
}  # fmt: skip
_NUMBER = rf"(?:[0-9]+(?:,[0-9]{{3}})*(?:\.[0-9]+)?[½¼¾⅛⅜⅝⅞]?|[½¼¾⅛⅜⅝⅞]|\b(?:{'|'.join(_WORDS)})\b)"
_JOINT = r"\s*(?:–|-|,|\bto\b|\band\b|\bor\b)\s*"
_UNITS = {
    "mm": {"in": "in", "inch": "in", "inches": "in", "cm": "cm", "mm": "mm"},
    "°C": {"°F": "F", "F": "F", "°C": "C"},
    "share": {"%": "%", "per cent": "%"},
    "d": {"day": "d", "days": "d", "week": "wk", "weeks": "wk"},
    "°C·d": {"°C·d": "°C·d", "°F·d": "°F·d"},
    # Rates are printed per 1,000 ft², and texts say so once.
    "g/m2": {"lb": "lb/1000ft2", "g/m2": "g/m2", "g/m²": "g/m2"},
}
"""For each canonical unit the spellings that texts use."""


@lru_cache(maxsize=4096)
def numbers_in(text: str, unit: str) -> tuple[float, ...]:
    """The quantities of a text that are in the dimension of the canonical `unit`, rising.

    Of "½ in in Kansas; 1–1½ in in Nebraska" they are 0.5, 1 and 1.5 in, in mm. Units that no
    `range` is written in have none.
    """
    spellings = _UNITS.get(unit, {})
    if not spellings:
        return ()
    names = "|".join(re.escape(name) for name in sorted(spellings, key=len, reverse=True))
    pattern = re.compile(
        rf"(?<![0-9.½¼¾/])({_NUMBER}(?:{_JOINT}{_NUMBER})*)[\s-]*({names})(?![A-Za-z·/²])"
    )
    found = {
        value
        for match in pattern.finditer(text)
        for value in _values(match[1], spellings[match[2]], unit)
    }
    return tuple(sorted(found))


def _values(numbers: str, name: str, unit: str) -> Iterator[float]:
    for number in re.findall(_NUMBER, numbers):
        try:
            yield parse_quantity(f"{_WORDS.get(number, number)} {name}", unit)
        except UnitError:
            continue
