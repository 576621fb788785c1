"""Dates in a question: `on 12 September`, `this weekend`, `late fall`, `in two weeks`."""

from __future__ import annotations

import datetime as dt
import re

from advisor.answers.date_phrases import PAST, READERS, Reader, month_number, season_said
from advisor.answers.date_spans import Season, season_of_month
from advisor.answers.dates_refused import is_day_and_month, refuse_unclear
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record

_MONTH_BEFORE = re.compile(
    r"\b(?:in|of|is|this|next|last|early|mid|late|until|till|before|after|by)$"
)


class DateAsked(Record, frozen=True):
    """One date phrase. `first` is None for a date in the past or only a limit (`until spring`).

    `last` is the end of a range or None; `season` that of the month or season named;
    `season_only` tells a bare `spring` from `this spring`; `start` and
    `end` are characters of the text.
    """

    first: dt.date | None
    last: dt.date | None
    start: int
    end: int
    season: Season | None = None
    season_only: bool = False

    @property
    def length(self) -> int:
        """Characters of the phrase."""
        return self.end - self.start


def find_dates(text: str, on: dt.date, latitude: float) -> list[DateAsked]:
    """Every date phrase of plain text, from left to right, as seen from the day `on`.

    Raises `ValueError` with a sentence for a date that may be read in two ways, that the calendar
    does not have, or that moves from year to year (holidays).
    """
    refuse_unclear(text)
    found: list[DateAsked] = [DateAsked(None, None, *m.span()) for m in PAST.finditer(text)]
    for pattern, reader in READERS:
        for match in pattern.finditer(text):
            taken = any(match.start() < d.end and d.start < match.end() for d in found)
            if not taken and not _is_no_date(text, match):
                found.append(_asked(match, reader, on, latitude))
    return sorted(found, key=lambda d: d.start)


def _asked(match: re.Match[str], reader: Reader, on: dt.date, latitude: float) -> DateAsked:
    said, groups = match[0], match.groupdict()
    try:
        first, last = reader(match, on, latitude)
    except (ValueError, OverflowError):
        raise ValueError(f"'{said}' is no date of the calendar") from None
    season: Season | None = None
    if groups.get("season"):
        season = season_said(match["season"])
    elif groups.get("month"):
        season = season_of_month(month_number(match), latitude)
    bound = groups.get("bound") or ""
    if bound in ("until", "till") and match.string[match.end() :].startswith(" to "):
        # "Wait until October to sow" asks about October.
        bound = ""
    limits = _limit(bound, first, last, on)
    if (groups.get("which") or "") in ("last", "this past"):
        return DateAsked(None, None, *match.span())
    if limits is None:
        until = groups["bound"] in ("until", "till", "wait for")
        return DateAsked(None, None, *match.span(), season if until else None)
    plain_season = season if not bound else None
    return DateAsked(*limits, *match.span(), plain_season, match[0] == groups.get("season"))


def _limit(
    bound: str, first: dt.date, last: dt.date | None, on: dt.date
) -> tuple[dt.date, dt.date | None] | None:
    """The days that `before`, `by`, `after` or `from` a date leaves open; None if not asked."""
    if not bound:
        return first, last
    if bound in ("before", "earlier than", "by"):
        end = (last or first) if bound == "by" else first - ONE_DAY
        return (on, end) if end >= on else None
    if bound in ("after", "later than", "past"):
        return (last or first) + ONE_DAY, None
    return (first, None) if bound == "from" else None


def _is_no_date(text: str, match: re.Match[str]) -> bool:
    """`may` without a figure or a word that goes with a month, and figures that are a measure."""
    groups = match.groupdict()
    if groups.get("one"):
        figures = int(match["one"]), int(match["two"])
        return not is_day_and_month(text, match.start("one"), match.end(), *figures)
    if groups.get("month") != "may" or groups.get("day") or groups.get("year"):
        return False
    return not _MONTH_BEFORE.search(text[: match.start("month")].rstrip())
