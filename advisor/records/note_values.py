"""Quantities in a short note: `0.8 in`, `3 passes`, `0.7 lb N`, `½ in of water`."""

from __future__ import annotations

import re
from collections.abc import Iterable

from advisor.base.units import UnitError, parse_quantity
from advisor.records.date_words import NUMBER_WORDS

_FRACTION = "½¼¾⅛⅜⅝⅞"
_NUMBER = re.compile(
    rf"(?<![\w.])[-−]?(?:[0-9][0-9,]*\.?[0-9]*(?:[ -][0-9]+/[0-9]+|/[0-9]+| ?[{_FRACTION}])?"
    rf"|\.[0-9]+|[{_FRACTION}])"
)
_FAHRENHEIT_OR_CELSIUS = re.compile(r"(?<![a-z])(?:deg ?)?[fc]\Z")
_PARTS = (("three quarters of an ", "3/4 "), ("half an ", "1/2 "), ("a quarter of an ", "1/4 "))
_TAIL = re.compile(r"\s*([^\s,;]+)")
_MOST_UNIT_WORDS = 5
_COUNT = "|".join(["[0-9]{1,2}", *NUMBER_WORDS])
_TOOK = re.compile(
    r"\btook(?: (?:me|us|about|only))*[ =:]*(?=[0-9.]+ ?(?:h|m))"
    r"(?:(?P<hours>[0-9]*\.?[0-9]+) ?(?:h|hrs?|hours?)\b)?"
    r"(?: ?(?:and )?(?P<minutes>[0-9]+) ?(?:m|mins?|minutes?)\b)?"
)
_PASSES = re.compile(rf"\b(?P<count>{_COUNT}) (?:pass(?:es)?|times)\b|\b(?P<word>once|twice)\b")
# In the trade an amount of nitrogen is said per 1,000 ft² (pounds) or per m² (grams).
_NITROGEN = re.compile(
    rf"(?P<number>{_NUMBER.pattern}) ?(?P<unit>lbs?|pounds?|g|grams?)(?: of)? (?:n|nitrogen)\b"
    r"(?P<per> ?(?:/|per) ?(?:1,?000 ?(?:sq\.? ?ft|ft2|ft²|square feet)|m2|m²))?"
)


def find_quantity(text: str, unit: str) -> tuple[str, str] | None:
    """The first quantity of the canonical unit in a note, as written, and the text without it."""
    for match in _NUMBER.finditer(text):
        for end in _ends(text, match.end()):
            said = text[match.start() : end].strip()
            try:
                parse_quantity(said, unit)
            except UnitError:
                continue
            return _FAHRENHEIT_OR_CELSIUS.sub(
                _upper, said
            ), f"{text[: match.start()]} , {text[end:]}"
    return None


def with_figures(text: str) -> str:
    """`half an inch` as `1/2 inch`."""
    for said, figure in _PARTS:
        text = text.replace(said, figure)
    return text


def first_number(text: str) -> str | None:
    """The first figure of a note with the word after it, to be named in a message."""
    match = _NUMBER.search(text)
    if not match:
        return None
    tail = _TAIL.match(text, match.end())
    return text[match.start() : tail.end() if tail else match.end()].strip()


def take_work_details(text: str, wet: bool) -> tuple[dict[str, str], str]:
    """Details of work in a note, as the journal writes them, and the text without them.

    wet: a depth that is not said to be one is an amount of water.
    """
    details: dict[str, str] = {}
    match = _TOOK.search(text)
    if match and (match["hours"] or match["minutes"]):
        minutes = 60 * float(match["hours"] or 0) + int(match["minutes"] or 0)
        details["took"] = f"{minutes:g} min"
        text = f"{text[: match.start()]} , {text[match.end() :]}"
    match = _PASSES.search(text)
    if match:
        said = match["count"] or match["word"]
        counted = {"once": 1, "twice": 2, **NUMBER_WORDS}.get(said)
        details["passes"] = str(counted or said)
        text = f"{text[: match.start()]} , {text[match.end() :]}"
    match = _NITROGEN.search(text)
    if match:
        pounds = match["unit"][0] in "lp"
        details["n"] = f"{match['number']} {'lb/1000ft2' if pounds else 'g/m2'}"
        text = f"{text[: match.start()]} , {text[match.end() :]}"
    for key, unit in _details_by_unit(text, wet):
        found = find_quantity(text, unit)
        if found:
            details[key], text = found
    return details, text


def _details_by_unit(text: str, wet: bool) -> Iterable[tuple[str, str]]:
    water = wet and not re.search(r"\bdeep|\bdepth", text)
    yield ("water" if water else "depth"), "mm"
    yield ("seed" if re.search(r"\bseed", text) else "rate"), "g/m2"
    yield "share", "share"


def _ends(text: str, start: int) -> list[int]:
    """Where a unit that begins at `start` may end, the longest first; the last is no unit."""
    ends = [start]
    for _ in range(_MOST_UNIT_WORDS):
        tail = _TAIL.match(text, ends[-1])
        if not tail:
            break
        ends.append(tail.end())
    return ends[::-1]


def _upper(match: re.Match[str]) -> str:
    return match[0].upper().replace("DEG", "deg")
