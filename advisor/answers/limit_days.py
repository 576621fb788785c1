"""Days of a limit, which lie ahead: `on saturday`, `from 10 to 24 september`, `on sundays`."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator

from advisor.answers.question_dates import DateAsked, find_dates
from advisor.base.dates import ONE_DAY, known_day
from advisor.base.record import Record, replace
from advisor.records.date_words import NUMBER_WORDS
from advisor.records.limits import WEEKDAYS
from advisor.records.record import MOST_DAYS, DaySpan

_NAMES = "|".join(WEEKDAYS)
_MONTH = (
    r"(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|"
    r"sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\b\.?"
)
_D = r"(?P<{0}>[0-9]{{1,2}})(?:st|nd|rd|th)?"
_ONE, _TWO = _D.format("one"), _D.format("two")
_JOIN = r"(?P<join> ?- ?| (?:to|until|till|through|and|or)(?: the)? )"
_OF_ONE_MONTH = (
    re.compile(rf"\b{_ONE}{_JOIN}{_TWO} (?:of )?(?P<month>{_MONTH})"),
    re.compile(rf"(?<![0-9] )\b(?P<month>{_MONTH}) {_ONE}{_JOIN}{_TWO}\b(?!:| ?[ap]m)"),
)
_BARE = re.compile(rf"\b(?:the )?([0-9]{{1,2}})(?:st|nd|rd|th)\b(?! (?:of )?{_MONTH})")
_AFTER_MONTH = re.compile(rf"{_MONTH} (?:the )?\Z")
_TO = re.compile(r"\A(?: ?- ?| ?(?:to|until|till|through)(?: the)? )\Z")
_AND = re.compile(r"\A ?(?:,|and|or|, and)(?: on)?(?: the)? \Z")
_BOUND = re.compile(r"\b(?:from|until|till|by|since|through|between|after|before)\b(?= )")
_UNTIL = re.compile(r"\b(?:until|till|through)(?: the)? \Z")
_FROM = re.compile(r"\b(?:from|starting|beginning|between)(?: the)? \Z")
_BEFORE = re.compile(
    r"(?:\b(?:from|until|till|through|between|on|at|in|during|for|the|starting) )+\Z"
)
_COUNT = rf"(?:[0-9]{{1,3}}|{'|'.join(NUMBER_WORDS)})"
_LASTS = re.compile(
    rf"\b(?:for )?(?:(?:the |these )?next (?P<ahead>{_COUNT})"
    rf"|(?<=for )(?:the )?(?P<count>{_COUNT})) "
    r"(?P<unit>day|week|fortnight)s?\b"
)
_EVERY_DAY = re.compile(r"\b(?:on |for )?(?:every|each|any) day|all days|\b(?:daily|a day|per day)")
_WEEKEND = r"(?:every|each|all) week ?ends?|(?:on |at )?(?:the )?week ?ends"
_WORKDAYS = (
    r"(?:on |every |each )?(?:the )?(?:week ?days?|work ?days|working days?)|during the week"
)
_EVERY = re.compile(
    rf"(?:\b(?:and|or|,) )?\b(?:(?P<weekend>{_WEEKEND})|(?P<workdays>{_WORKDAYS})"
    rf"|(?:on )?(?:every|each|all) (?P<each>{_NAMES})s?|(?:on )?(?P<plural>{_NAMES})s)\b"
)
_APART = "its days are told in two places; write one note for each"
MOST_NAMED = 31
"""For so many dates at most hours can be noted (chosen)."""


class LimitDays(Record, frozen=True):
    """every: days of the week, or an empty text for every day. spans: dates."""

    every: tuple[str, ...] = ()
    spans: tuple[DaySpan, ...] = ()

    @property
    def keys(self) -> tuple[str, ...]:
        """As the hours of a limit name their days. Raises `ValueError` for too many."""
        dates = [
            first + ahead * ONE_DAY
            for first, last in self.spans
            for ahead in range((last - first).days + 1)
        ]
        if len(dates) > MOST_NAMED:
            raise ValueError(
                f"hours can be noted for {MOST_NAMED} days at most; for more write 'every day' or "
                "a day of the week, such as 'on sundays'"
            )
        return (*self.every, *dict.fromkeys(map(dt.date.isoformat, dates)))


def take_days(text: str, on: dt.date, latitude: float) -> tuple[LimitDays, str]:
    """The days that plain text names, seen from `on`, and the text without them.

    Raises `ValueError` with a sentence for days that are unclear or over.
    """
    text = re.sub(r"\bthis (morning|afternoon|evening)\b", r"today \1", text)
    every, text = _recurring(text)
    text = _whole_dates(text, on)
    spans, text = _dated(text, on, latitude)
    if every == ("",) and spans:
        every = ()  # "two hours a day next week"
    if every and spans:
        raise ValueError("it names a date and days of every week; write one note for each")
    return LimitDays(every, spans), text


def _recurring(text: str) -> tuple[tuple[str, ...], str]:
    found: list[str] = []

    def take(match: re.Match[str]) -> str:
        if match["weekend"]:
            found.extend(WEEKDAYS[5:])
        elif match["workdays"]:
            found.extend(WEEKDAYS[:5])
        else:
            found.append(match["each"] or match["plural"])
        return " "

    text = _EVERY.sub(take, text)
    if _EVERY_DAY.search(text):
        found.append("")
        text = _EVERY_DAY.sub(" ", text)
    return tuple(dict.fromkeys(found)), text


def _whole_dates(text: str, on: dt.date) -> str:
    """`10 to 24 september` as two dates with their month; `the 12th` as a date."""
    for pattern in _OF_ONE_MONTH:
        text = pattern.sub(
            lambda m: (
                f"{m['one']} {m['month']}{m['join'].replace('-', ' to ')}{m['two']} {m['month']}"
            ),
            text,
        )
    built, end, day = "", 0, on
    for match in _BARE.finditer(text):
        between = text[end : match.start()]
        if _AFTER_MONTH.search(text[: match.start()]):
            continue
        day = _next_of_month(int(match[1]), day if built and _TO.match(between) else on)
        built += f"{between}{day}"
        end = match.end()
    return built + text[end:]


def _next_of_month(number: int, on: dt.date) -> dt.date:
    for ahead in range(62):
        day = on + ahead * ONE_DAY
        if day.day == number:
            return day
    raise ValueError(f"'{number}' is no day of the month")


def _dated(text: str, on: dt.date, latitude: float) -> tuple[tuple[DaySpan, ...], str]:
    lasts = _LASTS.search(text)
    days = 0
    if lasts:
        said = lasts["ahead"] or lasts["count"]
        days = (NUMBER_WORDS.get(said) or int(said)) * (
            {"day": 1, "week": 7, "fortnight": 14}[lasts["unit"]]
        )
        text = f"{text[: lasts.start()]} {text[lasts.end() :]}"
        text = re.sub(r"\b(?:for|in|over|within|during) +(?=\Z|  )", " ", text)
    masked = _BOUND.sub(lambda m: "_" * len(m[0]), text)
    phrases = _without_names(text, find_dates(masked, on, latitude))
    if not phrases:
        return (((on, on + (days - 1) * ONE_DAY),) if days > 0 else ()), text
    start = text[: phrases[0].start]
    spans = _joined(_spans(text, masked, phrases, latitude))
    if _UNTIL.search(start) and len(spans) == 1:
        spans = ((on, spans[0][1]),)
    elif days > 0:
        spans = tuple((first, first + (days - 1) * ONE_DAY) for first, _ in spans)
    elif _FROM.search(start) and len(phrases) == 1 and phrases[0].last is None:
        raise ValueError("it does not say until when; write 'from 10 to 24 september'")
    for first, last in spans:
        if not first <= last or (last - first).days >= MOST_DAYS:
            raise ValueError(f"{first} to {last} does not run forwards and for less than a year")
    before = _BEFORE.sub("", start)
    return spans, f"{before}   {text[phrases[-1].end :]}"


def _spans(text: str, masked: str, phrases: list[DateAsked], latitude: float) -> Iterator[DaySpan]:
    """Each span: a date, two dates joined by `to`, or a week, weekend or month."""
    at = 0
    while at < len(phrases):
        phrase = phrases[at]
        if phrase.first is None:
            raise ValueError(f"'{text[phrase.start : phrase.end].strip()}' is over")
        first, last = phrase.first, phrase.last or phrase.first
        following = phrases[at + 1] if at + 1 < len(phrases) else None
        gap = text[phrase.end : following.start] if following else ""
        between = following is not None and text[: phrase.start].endswith("between ")
        if following and (_TO.match(gap) or (between and gap.strip() == "and")):
            last = _after(masked, following, first, latitude)
            at += 1
            following = phrases[at + 1] if at + 1 < len(phrases) else None
            gap = text[phrases[at].end : following.start] if following else ""
        if following and not _AND.match(gap):
            raise ValueError(_APART)
        yield known_day(first), known_day(last)
        at += 1


def _without_names(text: str, phrases: list[DateAsked]) -> list[DateAsked]:
    """`saturday 12 september` is one day: the date, if it is a Saturday."""
    kept: list[DateAsked] = []
    for phrase in phrases:
        named = kept[-1] if kept else None
        if named is not None and text[named.end : phrase.start].strip(" ,") in ("", "the"):
            word = text[named.start : named.end].split()[-1]
            if word not in WEEKDAYS or phrase.first is None:
                raise ValueError(_APART)
            if WEEKDAYS[phrase.first.weekday()] != word:
                day = text[phrase.start : phrase.end]
                raise ValueError(f"'{day}' is a {phrase.first:%A}, not a {word.capitalize()}")
            kept[-1] = replace(phrase, start=named.start)
        else:
            kept.append(phrase)
    return kept


def _joined(spans: Iterator[DaySpan]) -> tuple[DaySpan, ...]:
    """Spans that touch as one."""
    found: list[DaySpan] = []
    for first, last in spans:
        if found and first == found[-1][1] + ONE_DAY:
            first = found.pop()[0]
        found.append((first, last))
    return tuple(found)


def _after(masked: str, end: DateAsked, first: dt.date, latitude: float) -> dt.date:
    """The end of a span, seen from its first day: `from friday to monday`."""
    found = next((d for d in find_dates(masked, first, latitude) if d.start == end.start), end)
    day = found.last or found.first
    if day is None:
        raise ValueError("it ends on a day that is over")
    return day
