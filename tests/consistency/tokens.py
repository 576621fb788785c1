"""Finds every date, quantity, duration and chance in a text, as a person would.

No code is shared with the program: the forms are those that stand in its views.
"""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

MONTH_NAMES = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
LONG_NAMES = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_MONTH = {
    name.lower(): at for names in (MONTH_NAMES, LONG_NAMES) for at, name in enumerate(names, 1)
}
_DAY = r"(?i:(?:Mon|Tues|Wednes|Thurs|Fri|Satur|Sun)day)"
_NUMBER = r"\d{1,3}(?:,\d{3})+(?:\.\d+)?|\d+(?:\.\d+)?"
_JOINT = r"(?:\s+(?i:to|and|or)\s+|–|\s*,\s+)"
_SIZE = r"(?:\s+per\s+[\d,]+\s(?:ft²|m²)|/\s?[\d,]*\s?(?:ft²|ft2|m²|m2))?"
_UNITS = (
    "lb", "kg", "oz", "g", "gal", "litres", "L", "inches", "in", "mm", "cm", "m³", "m²", "m2", "ha",
    "ft³", "ft²", "ft2", "ft", "cubic yards?", "cubic metres?", "sq ft", "acres?", "t", "m", "%",
    "°F", "°C", "bags?", "barrow loads?", "loads?", "passes", "pass", "cores", "nights?", "mph",
    "km/h", "[A-Z]{3}", "growing days?", "free days?",
)  # fmt: skip
_TIMES = r"h|hours?|min|minutes?|working days|days?|weeks?|months?|years?"
_DATES = (
    rf"(?P<dates>\b\d{{1,2}}(?:{_JOINT}(?:{_DAY}\s+)?\d{{1,2}})?\s+"
    rf"(?i:{'|'.join(LONG_NAMES)}|{'|'.join(MONTH_NAMES)})\b(?:\s+(?P<year>\d{{4}})\b)?)"
)
_ISO = r"(?P<iso>\b\d{4}-\d\d-\d\d\b)"
_CLOCK = r"(?P<clock>\b\d\d:\d\d\b)"
_CHANCE = (
    r"(?P<always>\bnearly\s+every\s+year\b)"
    r"|(?P<chance>\b(?:\d+\s+to\s+)?(\d+)\s+(?:years?|days?|seasons?)\s+(?:in|of)\s+(?:\d+|ten)\b"
    r"|\b(\d+)\s+(?:in|of)\s+(\d+)\s+(?:years?|seasons?)\b)"
)
_SPELL = r"(?P<spell>\b(\d+)\s+h\s+(\d+)\s+min\b)"
_AMOUNT = (
    rf"(?P<amount>(?<![\w.,])(?:(?<=\s)[-−])?(?:{_NUMBER})(?:{_JOINT}(?:{_NUMBER}))*\s?"
    rf"(?P<unit>(?:{_TIMES}|{'|'.join(_UNITS)})(?![\w²³]){_SIZE}))"
)
_ANALYSIS = r"(?P<analysis>\b\d{1,2}-\d{1,2}-\d{1,2}\b)"
_ANY = re.compile("|".join((_ISO, _DATES, _CLOCK, _ANALYSIS, _CHANCE, _SPELL, _AMOUNT)))
_PLURALS = {
    "bags": "bag", "hours": "h", "hour": "h", "minutes": "min", "minute": "min", "days": "day",
    "weeks": "week", "months": "month", "years": "year", "nights": "night", "loads": "load",
    "ft2": "ft²", "m2": "m²", "free days": "free day", "growing days": "growing day",
    "barrow loads": "barrow load",
    "cubic yards": "cubic yard", "working days": "working day", "pass": "passes",
}  # fmt: skip
PERIODS = ("min", "day", "week", "month", "year", "working day", "night", "free day")


@dataclass(frozen=True)
class Token:
    """kind: date, chance, clock, analysis, or the unit. at: where its number stands in the text.

    value: of a date day, month and year (None where it is not said); of a time in hours, minutes.
    """

    kind: str
    value: object
    at: tuple[int, int] = (0, 0)

    @property
    def key(self) -> tuple[str, object]:
        return self.kind, self.value

    @property
    def sort(self) -> str:
        """Date, chance, clock, analysis, duration or quantity."""
        if self.kind in ("date", "chance", "clock", "analysis"):
            return self.kind
        return "duration" if self.kind in PERIODS else "quantity"


def tokens(text: str) -> Iterator[Token]:
    """All tokens, in their order; each bound of a range is one."""
    for found in _ANY.finditer(text):
        if found["iso"]:
            yield Token("date", _iso(found["iso"]), found.span("iso"))
        elif found["dates"]:
            yield from _dates(found)
        elif found["clock"]:
            yield Token("clock", found["clock"], found.span("clock"))
        elif found["analysis"]:
            yield Token("analysis", found["analysis"], found.span("analysis"))
        elif found["always"]:
            yield Token("chance", (10, 10), found.span("always"))
        elif found["chance"]:
            *few, many = re.finditer(r"\d+|ten", found["chance"])
            of = 10 if many[0] == "ten" else int(many[0])
            for each in few:
                at = found.start() + each.start(), found.start() + each.end()
                yield Token("chance", (int(each[0]), of), at)
        elif found["spell"]:
            hours, minutes = re.findall(r"\d+", found["spell"])
            yield Token("min", Decimal(60 * int(hours) + int(minutes)), found.span("spell"))
        else:
            yield from _amounts(found)


def _iso(text: str) -> tuple[int, int, int | None]:
    day = dt.date.fromisoformat(text)
    return day.day, day.month, day.year


def _dates(found: re.Match[str]) -> Iterator[Token]:
    words = found["dates"].split()
    year = int(found["year"]) if found["year"] else None
    month = _MONTH[words[-2 if year else -1].lower()]
    start = found.start()
    for number in re.finditer(
        r"\d{1,2}(?!\d)", found["dates"][: len(found["dates"]) - 5 * bool(year)]
    ):
        at = (start + number.start(), start + number.end())
        yield Token("date", (int(number[0]), month, year), at)


def _amounts(found: re.Match[str]) -> Iterator[Token]:
    unit = " ".join(found["unit"].split())
    kind = "money" if re.fullmatch("[A-Z]{3}", unit) else _PLURALS.get(unit, unit)
    start = found.start()
    head = found.start("unit") - start
    for number in re.finditer(rf"(?:^[-−])?(?:{_NUMBER})", found[0][:head]):
        value = Decimal(number[0].replace(",", "").replace("−", "-"))
        at = (start + number.start(), start + number.end())
        yield Token("min", 60 * value, at) if kind == "h" else Token(kind, value, at)
