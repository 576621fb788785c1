"""The year's windows as rows: one for each operation and window, weeks across, in tenths."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from advisor.advice.book import Advice
from advisor.answers.words import TENTHS, listed, sentence
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.decide.windows.interval import Spread
from advisor.render.yearly.year import Year, YearWindow


class Row(Record, frozen=True):
    """short: the title for narrow places, a head and a tail (season, areas).
    tenths: for each week the years in ten in which most of it is open, 0 to 10; None unknown.
    says: when it opens and closes, season by season. routine: goes on without a reminder.
    """

    title: str
    short: tuple[str, str]
    tenths: tuple[int | None, ...]
    says: tuple[str, ...]
    routine: bool


class Month(Record, frozen=True):
    """A heading over `weeks` columns: the weeks whose Monday lies in the month."""

    name: str
    year: int
    weeks: int


def rows_of(year: Year) -> tuple[Row, ...]:
    """The rows, the season's work before routine, then by when they are next open; none at all
    where the weather cannot tell of most. Quiet operations are left to questions about them.

    Areas of the lawn that share all dates and chances share a row.
    """
    by_window: dict[tuple[str, str, str], list[YearWindow]] = {}
    for window in (w for w in year.windows if not w.operation.quiet):
        key = (window.operation.id, window.found.track.window.id, window.area)
        by_window.setdefault(key, []).append(window)
    areas: dict[tuple[str, str, tuple[int | None, ...], tuple[str, ...]], list[str]] = {}
    of: dict[tuple[str, str], YearWindow] = {}
    for (operation, window_id, area), seasons in by_window.items():
        says = tuple(dict.fromkeys(_sentences(seasons, year)))
        of[operation, window_id] = seasons[0]
        areas.setdefault((operation, window_id, _tenths(seasons), says), []).append(area)
    told = [window.found.known > 0 for window in year.windows]
    if sum(told) * 2 < len(told) or not told:
        return ()
    everywhere = len(year.parts)
    found = []
    for (operation, window_id, tenths, says), names in areas.items():
        window = of[operation, window_id]
        where = listed(tuple(name for name in names if name)) if len(names) < everywhere else ""
        found.append(_row(window, where, tenths, says))
    return tuple(sorted(found, key=lambda row: (row.routine, _next(row.tenths))))


def months_of(weeks: tuple[dt.date, ...]) -> tuple[Month, ...]:
    """The months over the weeks, in order."""
    counts: dict[tuple[int, int], int] = {}
    for day in weeks:
        counts[day.year, day.month] = counts.get((day.year, day.month), 0) + 1
    return tuple(
        Month(f"{dt.date(year, month, 1):%B}", year, number)
        for (year, month), number in counts.items()
    )


def _row(
    window: YearWindow, where: str, tenths: tuple[int | None, ...], says: tuple[str, ...]
) -> Row:
    several = len(window.operation.windows) > 1
    season, name = window.found.track.window, window.operation.title
    area = f" ({where})" if where else ""
    tail = f", {season.id.replace('_', ' ')}" if several else ""
    title = name + (f", {season.title}" if several else "") + area
    return Row(title, (name, tail + area), tenths, says, window.operation.routine)


def _tenths(seasons: list[YearWindow]) -> tuple[int | None, ...]:
    """The seasons of one window do not overlap, so the likelier one is meant in each week."""
    out: list[int | None] = []
    for chances in zip(*(window.found.weeks for window in seasons), strict=True):
        known = [float(chance) for chance in chances if chance == chance]
        out.append(round(max(known) * TENTHS) if known else None)
    return tuple(out)


def _next(tenths: tuple[int | None, ...]) -> tuple[int, int]:
    """The first week in season in half of the years; then the last."""
    likely = [i for i, chance in enumerate(tenths) if chance is not None and chance * 2 >= TENTHS]
    if not likely:
        return len(tenths), 0
    end = next((i for i in range(likely[0], len(tenths)) if i not in likely), len(tenths))
    return likely[0], end


def _sentences(seasons: list[YearWindow], year: Year) -> Iterator[str]:
    for number, window in enumerate(seasons):
        yield sentence(_dates(window, year, short=number > 0))


def _dates(window: YearWindow, year: Year, *, short: bool) -> str:
    """When one season opens and closes; `short` leaves the spread out.

    Twelve months hold each date once, so no year is said.
    """
    if not window.found.known:
        return "the weather known here cannot tell when"
    opens, closes, opening = window.opens, window.closes, window.found.opening
    if opens is None or opening is None:
        return f"in none of {window.years} years" if window.years > 1 else "not in this year"
    until = f"to {say_date(closes.p50)}" if closes else "on, beyond the year shown"
    if short:
        return f"the next time from about {say_date(opens.p50)} {until}"
    doubt = f"; not at all in {opening.never} of {window.years} years" if opening.never else ""
    if window.rough:
        doubt += f"; rough, from {basis_words(year.advice, window.years)}"
    if opens.p50 <= year.on:
        return _open_now(closes, opening.years, year.on) + doubt
    usual = f"about {say_date(opens.p50)} {until}{doubt}"
    if opening.years == 1:
        return usual
    ends = f", closes {span(closes)}" if closes else ""
    return f"{usual}. In 8 years of 10 it opens {span(opens)}{ends}"


def _open_now(closes: Spread | None, years: int, on: dt.date) -> str:
    if closes is None:
        return "open now, to beyond the year shown"
    if closes.p50 < on:
        return f"over since about {say_date(closes.p50)}"
    said = f"open now, usually to {say_date(closes.p50)}"
    if years > 1 and closes.p10 >= on:
        said += f"; in 9 years of 10 to {say_date(closes.p10)} or later"
    return said


def basis_words(advice: Advice, years: int) -> str:
    """`4 years`, or what stands in for years."""
    if advice.basis == "normals":
        return "monthly normals" if advice.case.normals else "the monthly means of a short record"
    return "one year" if years == 1 else f"{years} years"


def span(spread: Spread) -> str:
    """Where 8 years in 10 lie: `4 to 27 Apr`, `28 Nov to 21 Dec`, `on 15 Sep`."""
    first, last = spread.p10, spread.p90
    if first == last:
        return f"on {say_date(first)}"
    start = str(first.day) if (first.year, first.month) == (last.year, last.month) else None
    return f"{start or say_date(first)} to {say_date(last)}"
