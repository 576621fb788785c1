"""The coming twelve months of a lawn as plain data: windows with their chances, frosts, growth."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass

from advisor.advice.book import Advice, OfAdvice
from advisor.answers.law import forbidden_line, law_line
from advisor.answers.sources import weather_line
from advisor.base.record import Record
from advisor.cases.parts import Part
from advisor.decide.windows.interval import Spread
from advisor.decide.windows.tracks import WindowYear
from advisor.facts.axis import Basis
from advisor.facts.weather_facts import WeatherFacts
from advisor.render.yearly.growing_days import GrowingDays, growing_days
from advisor.render.yearly.place_dates import PlaceDate, place_dates
from advisor.rulebook.model import Operation

WEEKS = 53
"""From this week on, up to and with the week of the same day next year."""
ROUGH_UNDER = 10
"""Dates from fewer years are called rough: their 1-in-10 date is off by about 4 days and more
(derived: freeze dates of two places resampled)."""


class YearWindow(Record, frozen=True):
    """One window of one operation in one season year, for a part of the lawn.

    area: empty for the whole lawn. found: dates and chances; its weeks are those of the year.
    """

    operation: Operation
    area: str
    grass: str
    found: WindowYear

    @property
    def years(self) -> int:
        """Years that can tell, opened or not."""
        return self.found.known

    @property
    def opens(self) -> Spread | None:
        """First open days; None where it opens in no year that can tell."""
        return self.found.opening.opens if self.found.opening else None

    @property
    def closes(self) -> Spread | None:
        """Last open days; None also where it is open at the end of what can be seen."""
        return self.found.opening.closes if self.found.opening and not self.found.beyond else None

    @property
    def rough(self) -> bool:
        """Whether too few years stand behind the dates."""
        return self.years < ROUGH_UNDER


@dataclass(frozen=True)
class Year(OfAdvice):
    """weeks: Mondays (WEEKS,). years: of the weather behind the chances, see `Axis`. dates,
    growing: of the place. forbidden: what is left out by law."""

    advice: Advice
    weeks: tuple[dt.date, ...]
    years: int
    windows: tuple[YearWindow, ...]
    dates: tuple[PlaceDate, ...]
    growing: GrowingDays
    weather: str
    law: str
    forbidden: str

    @property
    def parts(self) -> tuple[Part, ...]:
        """Of the lawn, largest first."""
        return self.advice.parts

    @property
    def basis(self) -> Basis | None:
        return self.advice.basis

    @property
    def facts(self) -> WeatherFacts | None:
        """The weather behind the largest part of the lawn."""
        return self.parts[0].decider.day.weather

    @property
    def rough(self) -> bool:
        """Whether too few years stand behind the chances."""
        return self.years < ROUGH_UNDER


def compose_year(advice: Advice) -> Year:
    """The year from the week of the advice. Raises `BadInput` where the grass is not known."""
    case, on, parts = advice.case, advice.on, advice.parts
    facts = parts[0].decider.day.weather
    monday = on - dt.timedelta(days=on.weekday())
    weeks = tuple(monday + dt.timedelta(weeks=number) for number in range(WEEKS))
    table = case.weather
    return Year(
        advice=advice,
        weeks=weeks,
        years=len(facts.axis.years) if facts else 0,
        windows=tuple(_windows(parts, weeks, on)),
        dates=place_dates(table, on, facts.lawn) if table is not None and facts else (),
        growing=growing_days(facts, table, on),
        weather=weather_line(case),
        law=law_line(case),
        forbidden=forbidden_line(case, parts),
    )


def _windows(
    parts: tuple[Part, ...], weeks: tuple[dt.date, ...], on: dt.date
) -> Iterator[YearWindow]:
    """Windows that are open on a day of some year from now on, or of which no year can tell.

    A season of three days, or the last two of one, fill most of no week: each day counts.
    """
    for part in parts:
        decider = part.decider
        facts = decider.day.weather
        ahead = slice(0) if facts is None else slice(*map(facts.axis.index, (on, weeks[-1])))
        for id in decider.operations():
            operation = decider.book.operations[id].for_grass(decider.book.grasses[part.grass])
            if decider.decide(id).for_good:
                continue
            for found in decider.year(id, weeks):
                if found.track.window.undated:
                    continue
                if not found.known or any((c > 0).any() for c in (found.weeks, found.days[ahead])):
                    yield YearWindow(operation, part.label, part.grass, found)
