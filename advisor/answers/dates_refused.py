"""Dates in a question that nobody may guess: two readings, or a holiday that moves."""

from __future__ import annotations

import re

_FIGURES = re.compile(
    r"(?<![\w./-])(?P<one>[0-9]{1,2})(?P<mark>[/.])(?P<two>[0-9]{1,2})"
    r"(?:(?P=mark)(?P<year>[0-9]{4}|[0-9]{2}))?(?![\w/-]|\.[0-9])"
)
# "1/2 in" and "3/4 of" are measures.
_MEASURE = re.compile(
    r" ?(?:\"|″|inch|in\b|lbs?\b|pounds?|acres?|cups?|of\b|mm|cm|oz|ounces?|to\b|-)"
)
_FRACTIONS = frozenset({(1, 2), (1, 3), (2, 3), (1, 4), (3, 4), (1, 8), (3, 8), (5, 8), (7, 8)})
_DATE_BEFORE = re.compile(r"\b(?:on|by|before|after|until|till|from|is) $")
_HOLIDAY = re.compile(
    r"\b(?:(?:labou?r|memorial|independence|veterans|columbus|presidents|boxing|christmas|anzac|"
    r"australia|canada|victoria|new years|fathers|mothers|valentines|groundhog|st patricks|"
    r"thanksgiving|easter|bank holiday)(?: day| eve| weekend)|thanksgiving|easter|halloween|"
    r"christmas|bank holiday|new years)\b"
)


def refuse_unclear(text: str) -> None:
    """Raise `ValueError` with a sentence if plain text holds such a date."""
    for match in _FIGURES.finditer(text):
        one, two, year = int(match["one"]), int(match["two"]), match["year"]
        pointed = match["mark"] == "."
        if not is_day_and_month(text, match.start(), match.end(), one, two):
            continue
        # 5.5 alone is a number, and so is a soil's 6.2.
        if pointed and not year:
            continue
        if pointed or (year and len(year) == 2) or (one != two and max(one, two) <= 12):
            raise ValueError(
                f"'{match[0]}' may be read in two ways; write the month as a word, such as '12 Sep'"
            )
    holiday = _HOLIDAY.search(text)
    if holiday:
        raise ValueError(
            f"'{holiday[0]}' is not the same day everywhere; write the date, such as '12 Sep'"
        )


def is_day_and_month(text: str, start: int, end: int, one: int, two: int) -> bool:
    """Whether two figures can be a day and a month, and are not a fraction of an inch."""
    if not (1 <= min(one, two) <= 12 and max(one, two) <= 31) or (one, two) == (24, 7):
        return False
    if len(re.findall(r"[0-9]+", text[start:end])) == 3:
        return True
    fraction = (one, two) in _FRACTIONS and not _DATE_BEFORE.search(text[:start])
    return not fraction and not _MEASURE.match(text, end)
