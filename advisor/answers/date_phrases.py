"""The phrases in which keepers name a date, and how each is read."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from typing import cast

from advisor.answers.date_spans import (
    Part,
    Season,
    Which,
    day_from,
    month_from,
    month_span,
    months_later,
    season_from,
    season_span,
    week_from,
    weekday_from,
    weekend_from,
)
from advisor.base.dates import ONE_DAY
from advisor.records.date_words import NUMBER_WORDS

_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_MONTH = (
    r"(?P<month>jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    r"sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b\.?"
)
_DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
_SEASON = r"(?P<season>spring|summer|autumn|fall|winter)(?:time)?"
_YEAR = r"(?:,? (?:of )?(?P<year>[0-9]{4}))?"
_PART = (
    r"(?:(?<!too )(?<!how )(?P<part>early|mid|middle|late|start|beginning|end)"
    r"(?: in| of|)(?: the| this)? )?"
    r"(?:the )?"
)
_WHICH = r"(?:(?P<which>this|next|last|this past|this coming|the coming|coming) )?"
_DAY = r"(?P<day>[0-9]{1,2})(?:st|nd|rd|th)?"
_COUNT = rf"(?P<count>[0-9]{{1,3}}|{'|'.join(NUMBER_WORDS)}|an|couple of|few)"
_UNIT = r"(?P<unit>day|week|fortnight|month)s?"
_BOUND = (
    r"(?:\b(?P<bound>before|after|by|until|till|since|from|later than|earlier than|past"
    r"|wait for)(?: about| around)?(?: the)? )?"
)
# In "winter rye" and "fall off" the season is no date.
_NOT_A_DATE = r"(?! rye| grass| wheat| annual| kill| weed| patch| fertili| feed| dead spot| off\b)"

# "For the winter" is what a job is for, not when it is done; "wait for winter" is a date.
_NOT_FOR_WINTER = (
    r"(?:(?!winter)|(?<=wait for )|(?<=wait for the )|(?<!for )(?<!for the )(?<!through the ))"
)

Reader = Callable[[re.Match[str], dt.date, float], tuple[dt.date, dt.date | None]]


def _year_of(match: re.Match[str]) -> int | None:
    return int(match["year"]) if match["year"] else None


def _part_of(match: re.Match[str]) -> Part:
    said = match["part"] or ""
    same = {"middle": "mid", "start": "early", "beginning": "early", "end": "late"}
    return cast(Part, same.get(said, said))


def _which(match: re.Match[str]) -> Which:
    said = match["which"]
    return cast(Which, said) if said in ("this", "next") else ""


def month_number(match: re.Match[str]) -> int:
    return _MONTHS.index(match["month"][:3]) + 1


def _iso(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, None]:
    return dt.date.fromisoformat(match["iso"]), None


def _figures(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, None]:
    """Two figures of which only one can be the month; others have been refused before."""
    month, day = sorted((int(match["one"]), int(match["two"])))
    if match["year"]:
        return dt.date(int(match["year"]), month, day), None
    return day_from(on, month, day), None


def _day(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, None]:
    year = _year_of(match)
    month, day = month_number(match), int(match["day"])
    return (dt.date(year, month, day) if year is not None else day_from(on, month, day)), None


def _month(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, dt.date]:
    year, month, part = _year_of(match), month_number(match), _part_of(match)
    return (
        month_span(year, month, part)
        if year is not None
        else month_from(on, month, part, _which(match))
    )


def _season(match: re.Match[str], on: dt.date, latitude: float) -> tuple[dt.date, dt.date]:
    year, season, part = _year_of(match), season_said(match["season"]), _part_of(match)
    if year is not None:
        return season_span(year, season, latitude, part)
    return season_from(on, season, latitude, part, _which(match))


def season_said(word: str) -> Season:
    """`fall` is autumn."""
    return "autumn" if word == "fall" else cast(Season, word)


def _week(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, dt.date]:
    return week_from(on, _which(match))


def _weekend(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, dt.date]:
    return weekend_from(on, _which(match))


def _week_after_next(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, dt.date]:
    if match["end"]:
        saturday, sunday = weekend_from(on, "next")
        return saturday + 7 * ONE_DAY, sunday + 7 * ONE_DAY
    monday, sunday = week_from(on, "next")
    return monday + 7 * ONE_DAY, sunday + 7 * ONE_DAY


def _this_month(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, dt.date]:
    if match["which"] == "next":
        later = months_later(on, 1)
        return month_span(later.year, later.month)
    return on, month_span(on.year, on.month)[1]


def _this_year(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, dt.date]:
    year = on.year + (match["which"] == "next")
    return max(on, dt.date(year, 1, 1)), dt.date(year, 12, 31)


def _later(match: re.Match[str], on: dt.date) -> dt.date:
    said = match["count"] or "1"
    count = {"an": 1, "couple of": 2, "few": 3}.get(said) or NUMBER_WORDS.get(said) or int(said)
    if match["unit"] == "month":
        return months_later(on, count)
    return on + count * {"day": 1, "week": 7, "fortnight": 14}[match["unit"]] * ONE_DAY


def _in_count(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, None]:
    return _later(match, on), None


def _within(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, dt.date]:
    return on, _later(match, on)


def _weekday(match: re.Match[str], on: dt.date, _: float) -> tuple[dt.date, None]:
    number = next(n for n, name in enumerate(_DAYS) if name.startswith(match["weekday"][:3]))
    return weekday_from(on, number, _which(match)), None


def _plus(days: int) -> Reader:
    return lambda match, on, latitude: (on + days * ONE_DAY, None)


# "sun" and "sat" alone mean other things too.
_WEEKDAY = (
    rf"(?P<weekday>{'|'.join(_DAYS)}|(?:(?<=on )|(?<=is ))(?:mon|tues?|wed|thu(?:rs)?|fri|sat|sun))"
)
READERS: tuple[tuple[re.Pattern[str], Reader], ...] = tuple(
    (re.compile(rf"{_BOUND}\b{pattern}\b(?![/-][0-9])"), reader)
    for pattern, reader in (
        (r"(?P<iso>[0-9]{4}-[0-9]{2}-[0-9]{2})", _iso),
        (r"(?P<one>[0-9]{1,2})/(?P<two>[0-9]{1,2})(?:/(?P<year>[0-9]{4}))?", _figures),
        (rf"{_DAY} (?:of )?{_MONTH}{_YEAR}", _day),
        (rf"{_MONTH} {_DAY}(?![0-9]){_YEAR}", _day),
        (rf"{_PART}{_WHICH}{_MONTH}{_YEAR}", _month),
        (rf"{_PART}{_WHICH}{_NOT_FOR_WINTER}{_SEASON}{_NOT_A_DATE}{_YEAR}", _season),
        (r"day after tomorrow", _plus(2)),
        (r"tomorrow", _plus(1)),
        (r"(?:today|tonight|this morning|this afternoon|this evening)", _plus(0)),
        (r"(?:the )?week ?(?P<end>end)? after next", _week_after_next),
        (rf"(?:in|over|within) the next (?:{_COUNT} )?{_UNIT}", _within),
        (r"(?P<which>this|next|last|the coming|coming|the) week ?end", _weekend),
        (r"(?P<which>this|next|last|the coming|coming) week", _week),
        (r"(?P<which>this|next|last|the coming|coming) month", _this_month),
        (r"(?P<which>this|next|last|the coming|coming) year", _this_year),
        (rf"in (?:a )?{_COUNT} {_UNIT}(?: time)?", _in_count),
        (rf"(?:a )?{_COUNT} {_UNIT} (?:from (?:now|today)|hence)", _in_count),
        (rf"{_WHICH}{_WEEKDAY}", _weekday),
    )
)
PAST = re.compile(rf"\b(?:yesterday|(?:a )?{_COUNT} (?:{_UNIT}|years?) (?:ago|back)|in the past)\b")
