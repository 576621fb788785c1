"""Growing days: how many are left before the soil goes cold, and the place's frost-free days."""

from __future__ import annotations

import datetime as dt

import numpy as np

from advisor.base.record import Record
from advisor.facts.weather_facts import COLD_SOIL_C, WeatherFacts
from advisor.render.yearly.place_dates import CHANCES, RUN_DAYS
from advisor.signals.freeze import FreezeDates, freeze_dates, longest_frost_free_run
from advisor.signals.running import starts_run
from advisor.weather.seasons import season_years
from advisor.weather.table import WeatherTable

MIDWINTER_TO_MIDWINTER = {True: (1, 1), False: (7, 1)}
"""First day of the year in which a frost-free run is sought, by whether the place is north."""
MISSING_DAYS = 10
FROST_C = 0.0
"""A night of 32 °F or less ends a frost-free run."""


class GrowingDays(Record, frozen=True):
    """left: days from today until the soil goes under 40 °F (4.4 °C) and stays there for a week;
    0 where it is so today. frost_free: days of the longest run without a night of 32 °F (0 °C) or
    less in each year. None without a record.
    """

    left: FreezeDates | None
    frost_free: FreezeDates | None


def growing_days(
    facts: WeatherFacts | None, table: WeatherTable | None, on: dt.date
) -> GrowingDays:
    """Both counts, from the place's years; the first also knows this year so far."""
    left = None if facts is None or facts.axis.basis == "observed" else _left(facts)
    if table is None or table.first > on or facts is None:
        return GrowingDays(left, None)
    return GrowingDays(left, _frost_free(table.until(on), facts.lawn.latitude))


def _left(facts: WeatherFacts) -> FreezeDates:
    soil = facts.soil_mean(5)[:, facts.axis.today :]
    cold = starts_run(np.where(np.isnan(soil), np.nan, soil < COLD_SOIL_C), RUN_DAYS)
    came = cold == 1.0
    days = np.where(came.any(axis=1), came.argmax(axis=1).astype(np.float64), np.inf)
    unknown = np.isnan(cold) & (np.arange(cold.shape[1]) < days[:, None])
    # The last days of the axis cannot tell whether a run of a week begins on them.
    unknown[:, 1 - RUN_DAYS :] = False
    return freeze_dates(np.where(unknown.any(axis=1), np.nan, days), CHANCES)


def _frost_free(table: WeatherTable, latitude: float) -> FreezeDates:
    years = season_years(table, MIDWINTER_TO_MIDWINTER[latitude >= 0], length=365)
    low = years.columns["air_min_c"]
    runs = longest_frost_free_run(low, FROST_C)
    gaps = np.isnan(low).sum(axis=1) > MISSING_DAYS
    return freeze_dates(np.where(gaps, np.nan, runs), CHANCES)
