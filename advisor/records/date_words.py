"""Dates and times of day in a short note: `yesterday`, `on 12 Sep`, `last Saturday`, `at 8am`."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable

from advisor.base.dates import ONE_DAY

NUMBER_WORDS = {
    "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8,
    "nine": 9, "ten": 10, "a": 1,
}  # fmt: skip
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = (
    r"(?P<month>jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    r"sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?"
)
_WEEKDAY_NAMES = (
    "monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday",
)  # fmt: skip
_WEEKDAY_NUMBERS = {name[:3]: number for number, name in enumerate(_WEEKDAY_NAMES)}
_DAY = r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?"
_YEAR = r"(?:,? (?P<year>[0-9]{4}))?"
_COUNT = "|".join(["[0-9]{1,3}", *NUMBER_WORDS])

Reader = Callable[[re.Match[str], dt.date], dt.date]


def _iso(match: re.Match[str], _: dt.date) -> dt.date:
    return dt.date.fromisoformat(match[1])


def _day_of_month(match: re.Match[str], today: dt.date) -> dt.date:
    """Without a year the last such day that is not in the future."""
    month, day = _MONTHS.index(match["month"][:3]) + 1, int(match["day"])
    if match["year"]:
        return dt.date(int(match["year"]), month, day)
    # A leap day may be up to eight years back.
    for year in range(today.year, today.year - 9, -1):
        try:
            found = dt.date(year, month, day)
        except ValueError:
            continue
        if found <= today:
            return found
    raise ValueError


def _weekday(match: re.Match[str], today: dt.date) -> dt.date:
    """The last such day: today may be it, unless the note says `last`."""
    back = (today.weekday() - _WEEKDAY_NUMBERS[match["weekday"][:3]]) % 7
    return today - ONE_DAY * (back or (7 if match["last"] else 0))


def _ago(match: re.Match[str], today: dt.date) -> dt.date:
    count = NUMBER_WORDS.get(match[1]) or int(match[1])
    return today - ONE_DAY * count * (7 if match[2].startswith("week") else 1)


_DATES: tuple[tuple[re.Pattern[str], Reader], ...] = tuple(
    (re.compile(rf"\b(?:on )?(?:the )?{pattern}(?![\w/])"), reader)
    for pattern, reader in (
        (r"([0-9]{4}-[0-9]{2}-[0-9]{2})", _iso),
        (rf"{_DAY} (?:of )?{_MONTH}{_YEAR}", _day_of_month),
        (rf"{_MONTH} {_DAY}{_YEAR}", _day_of_month),
        (r"day before yesterday", lambda _, today: today - 2 * ONE_DAY),
        (r"yesterday(?: morning| afternoon| evening)?", lambda _, today: today - ONE_DAY),
        (r"(?:today|this morning|this afternoon|this evening)", lambda _, today: today),
        (r"tomorrow", lambda _, today: today + ONE_DAY),
        (rf"({_COUNT}) (days?|weeks?) ago", _ago),
        (rf"(?P<last>last )?(?P<weekday>{'|'.join(_WEEKDAY_NAMES)})", _weekday),
        # "sun" and "sat" alone mean other things too.
        (
            r"(?:(?P<last>last )|(?<=on ))(?P<weekday>mon|tues?|wed|thu(?:rs)?|fri|sat|sun)",
            _weekday,
        ),
    )
)
_ALL_FIGURES = re.compile(
    r"\b(?:on [0-9]{1,2}/[0-9]{1,2}|[0-9]{1,2}[/.][0-9]{1,2}[/.][0-9]{2,4})\b"
)
_TIME = re.compile(
    r"\b(?:at )?(?P<hour>[0-9]{1,2})(?::(?P<minute>[0-5][0-9]))? ?(?P<half>[ap])\.?m\b\.?"
    r"|\b(?:at )?(?P<hour24>[0-2]?[0-9]):(?P<minute24>[0-5][0-9])(?![0-9])"
)


def take_date(text: str, today: dt.date) -> tuple[dt.date | None, str]:
    """The date named in lower-case text, and the text without it; None if it names none.

    Raises `ValueError` with a sentence if the date cannot be read, is not of the calendar, or lies
    in the future.
    """
    unclear = _ALL_FIGURES.search(text)
    if unclear:
        said = unclear[0].removeprefix("on ")
        raise ValueError(f"'{said}' may be read in two ways; write '12 Sep' or {today}")
    for pattern, reader in _DATES:
        match = pattern.search(text)
        if not match:
            continue
        said = match[0].removeprefix("on ").removeprefix("the ")
        try:
            day = reader(match, today)
        except ValueError:
            raise ValueError(f"'{said}' is no date of the calendar") from None
        if day > today:
            raise ValueError(f"'{said}' lies in the future; a note tells what has been")
        return day, _without(text, match)
    return None, text


def take_time(text: str) -> tuple[dt.time | None, str]:
    """The time of day named in lower-case text, and the text without it. Raises `ValueError`."""
    match = _TIME.search(text)
    if not match:
        return None, text
    hour, minute = int(match["hour"] or match["hour24"]), match["minute"] or match["minute24"]
    if (match["half"] and not 1 <= hour <= 12) or hour > 23:
        raise ValueError(f"'{match[0]}' is no time of day")
    if match["half"]:
        hour = hour % 12 + (12 if match["half"] == "p" else 0)
    return dt.time(hour, int(minute or 0)), _without(text, match)


def _without(text: str, match: re.Match[str]) -> str:
    return f"{text[: match.start()]} , {text[match.end() :]}"
