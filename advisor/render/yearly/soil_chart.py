"""The soil temperature of a year as plain data: observed, forecast, expected, and the limits."""

from __future__ import annotations

import datetime as dt
import warnings
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record
from advisor.facts.told_facts import valid_readings
from advisor.facts.weather_facts import WeatherFacts
from advisor.render.yearly.year import Year
from advisor.rulebook.conditions import Leaf, leaves
from advisor.rulebook.model import Operation

BACK_DAYS, AHEAD_DAYS = 120, 245
"""A year in all, of which the last four months are known."""
SOIL_FACTS = frozenset({"soil_temperature_4in", "soil_temperature_4in_7d"})

Values = NDArray[np.float64]


class SoilLimit(Record, frozen=True):
    """A soil temperature, °C, at which seasons open: those that wait for less, for more."""

    limit_c: float
    below: tuple[str, ...]
    above: tuple[str, ...]


class SoilYear(Record, frozen=True):
    """Soil at 10 cm (4 in), means of five days, °C, one value a day from `first` on; NaN unknown.

    observed: computed from observed weather. forecast: from a forecast, if there is one. low,
    middle, high: of the members, from tomorrow or the end of the forecast on. readings: by the
    keeper's own thermometer. band: the range in which seed sprouts best, if the rules name one.
    """

    first: dt.date
    on: dt.date
    observed: Values
    forecast: Values
    low: Values
    middle: Values
    high: Values
    readings: tuple[tuple[dt.date, float], ...]
    limits: tuple[SoilLimit, ...]
    band: tuple[float, float] | None
    years: int


def soil_year(year: Year) -> SoilYear | None:
    """The soil of the largest part of the lawn; None where no day of it is known."""
    facts = year.facts
    if facts is None:
        return None
    axis = facts.axis
    start = max(axis.today - BACK_DAYS, 0)
    part = slice(start, axis.today + AHEAD_DAYS + 1)
    soil = facts.soil_mean(5)[:, part]
    if np.isnan(soil).all():
        return None
    number = np.arange(part.start, part.start + soil.shape[1])
    with warnings.catch_warnings():
        # A day that no member knows is NaN, which is meant.
        warnings.simplefilter("ignore", RuntimeWarning)
        low, middle, high = np.nanquantile(soil, (0.1, 0.5, 0.9), axis=0)

    def where(holds: NDArray[np.bool_], values: Values) -> Values:
        return np.where(holds, values, np.nan)

    # From the last known day on, so that the lines meet.
    ahead = number >= axis.observed - 1
    observed = number <= min(axis.today, axis.observed - 1)
    forecast = ahead & (number < axis.told) & (axis.told > axis.observed)
    operations = _operations(year)
    return SoilYear(
        first=axis.date(start),
        on=year.on,
        observed=where(observed, middle),
        forecast=where(forecast, middle),
        low=where(ahead, low),
        middle=where(ahead, middle),
        high=where(ahead, high),
        readings=_readings(year, facts, start),
        limits=soil_limits(operations),
        band=_sprouting_band(operations),
        years=year.years,
    )


def soil_limits(operations: tuple[Operation, ...]) -> tuple[SoilLimit, ...]:
    """The soil temperatures at which seasons open, warmest first. Routine work is left out."""
    found: dict[float, tuple[dict[str, None], dict[str, None]]] = {}
    for operation in operations:
        if operation.routine:
            continue
        for window in operation.windows:
            for leaf in _soil_leaves(leaves(window.opens)):
                below, above = found.setdefault(round(float(str(leaf.limit)), 2), ({}, {}))
                under = leaf.comparison in ("under", "at_most")
                name = operation.title.lower()
                if len(operation.windows) > 1:
                    name += f" ({window.id.replace('_', ' ')})"
                (below if under else above)[name] = None
    return tuple(
        SoilLimit(limit, tuple(below), tuple(above))
        for limit, (below, above) in sorted(found.items(), reverse=True)
    )


def _sprouting_band(operations: tuple[Operation, ...]) -> tuple[float, float] | None:
    """The soil in which the overseeding's best days lie."""
    for operation in operations:
        for window in operation.windows:
            if operation.id != "overseeding" or window.best is None:
                continue
            found = list(_soil_leaves(leaves(window.best)))
            lows = [float(str(f.limit)) for f in found if f.comparison in ("over", "at_least")]
            highs = [float(str(f.limit)) for f in found if f.comparison in ("under", "at_most")]
            if lows and highs:
                return max(lows), min(highs)
    return None


def _soil_leaves(found: Iterator[Leaf]) -> Iterator[Leaf]:
    return (leaf for leaf in found if leaf.fact in SOIL_FACTS and leaf.comparison != "known")


def _operations(year: Year) -> tuple[Operation, ...]:
    part = year.parts[0]
    book = year.case.book
    grass = book.grasses[part.grass]
    return tuple(book.operations[id].for_grass(grass) for id in part.decider.operations())


def _readings(year: Year, facts: WeatherFacts, start: int) -> tuple[tuple[dt.date, float], ...]:
    definition = year.case.book.vocabulary["soil_temperature_reading"]
    area = year.parts[0].decider.day.area
    journal = year.case.journal.as_of(year.on)
    return tuple(
        (entry.date, entry.value)
        for entry in valid_readings(definition, journal, area, year.on)
        if isinstance(entry.value, float) and facts.axis.index(entry.date) >= start
    )
