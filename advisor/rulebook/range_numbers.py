"""The numbers that a limit's `range` names, so that a value can be held against each of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from advisor.base.units import UnitError, parse_quantity

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
