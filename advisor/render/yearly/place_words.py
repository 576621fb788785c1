"""Frost, soil and growing days of a place in sentences."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.answers.words import listed, sentence
from advisor.base.dates import say_date
from advisor.base.record import Record
from advisor.base.units import System, show
from advisor.facts.weather_facts import COLD_SOIL_C
from advisor.render.yearly.growing_days import FROST_C
from advisor.render.yearly.place_dates import PlaceDate
from advisor.render.yearly.year import Year
from advisor.signals.freeze import FreezeDates

_EVENTS = {
    "first_freeze": "first night of {} or less",
    "last_freeze": "last night of {} or less",
    "soil_under": "soil under {}",
    "soil_over": "soil at {} or more",
}
_WITHOUT = {
    "first_freeze": ("", "in {} none"),
    "last_freeze": ("in {} none", ""),
    "soil_under": ("in {} under it all summer", "in {} never"),
    "soil_over": ("in {} over it all winter", "in {} never"),
}
"""Seasons in which it was so from the first day of the search, and on none of its days."""


class DateLine(Record, frozen=True):
    """An event of the place. by: the dates of 1, 5 and 9 years in 10. sure: where the first of them
    may as well lie (90 % interval). note: seasons behind it, those without it, this year's date.
    """

    title: str
    by: tuple[str, str, str]
    sure: str
    note: str


def date_lines(year: Year, kinds: tuple[str, ...]) -> tuple[DateLine, ...]:
    """The lines of some kinds of event, of which at least one whole season is on record."""
    units = year.case.site.unit_system
    shown = (date for date in year.dates if date.kind in kinds and date.found.seasons)
    return tuple(_line(date, units) for date in shown)


def growing_lines(year: Year) -> Iterator[str]:
    """How many growing days are left, and how long the place stays free of frost."""
    units = year.case.site.unit_system
    cold, freeze = (show(c, "°C", units) for c in (COLD_SOIL_C, FROST_C))
    left = year.growing.left
    if left is not None:
        yield _left(left, cold)
    free = year.growing.frost_free
    if free is not None and free.method != "none":
        low, middle, high = (round(q) for q in free.quantiles)
        yield sentence(
            f"in a usual year {middle} days pass without a night of {freeze} or less; 8 years in "
            f"10 have {low} to {high} ({_basis(free, 'years')})"
        )
    elif free is not None and free.seasons:
        yield sentence(
            f"only {free.seasons} full {'year' if free.seasons == 1 else 'years'} on record: too "
            "few to say how many days are free of frost"
        )


def _left(left: FreezeDates, cold: str) -> str:
    if left.method == "none" or not all(abs(q) != float("inf") for q in left.quantiles):
        return ""
    low, middle, high = (round(q) for q in left.quantiles)
    if high == 0:
        return sentence(f"no growing days are left: the soil is under {cold}")
    return sentence(
        f"about {middle} growing days are left before the soil goes under {cold} and stays there; "
        f"8 years in 10: {low} to {high} ({_basis(left, 'years')})"
    )


def _line(date: PlaceDate, units: System) -> DateLine:
    found = date.found
    title = sentence(_EVENTS[date.kind].format(show(date.limit_c, "°C", units))).rstrip(".")
    if found.method == "none":
        return DateLine(title, ("", "", ""), "", _few(date))
    by = [say_date(d) if d else _missing(q) for d, q in zip(date.by, found.quantiles, strict=True)]
    parts = [_basis(found, "seasons")]
    for count, said in zip((date.before, date.never), _WITHOUT[date.kind], strict=True):
        if count:
            parts.append(said.format(count))
    if date.this_season:
        parts.append(f"this time {say_date(date.this_season)}")
    return DateLine(title, (by[0], by[1], by[2]), _sure(date), ", ".join(parts))


def _sure(date: PlaceDate) -> str:
    if date.intervals is None or date.by[0] is None:
        return ""
    low, high = date.intervals[0]
    if low and high:
        return f"{say_date(low)} to {say_date(high)}"
    return f"any day to {say_date(high)}" if high else f"{say_date(low)} or later" if low else ""


def _few(date: PlaceDate) -> str:
    """One or two seasons are told as they were."""
    seen = listed(tuple(f"{say_date(day)} {day.year}" for day in date.seen))
    count = "one season" if date.found.seasons == 1 else f"{date.found.seasons} seasons"
    return f"only {count} on record: {seen or 'none had it'}"


def _basis(found: FreezeDates, noun: str) -> str:
    return f"{found.seasons} {noun}" + (", so rough" if found.method == "rough" else "")


def _missing(quantile: float) -> str:
    return "all along" if quantile < 0 else "not so"
