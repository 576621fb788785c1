"""The water of the last weeks: rain, recorded watering, what the grass uses, what is left."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record
from advisor.facts.weather_facts import WeatherFacts
from advisor.render.yearly.year import Year
from advisor.signals.evapotranspiration import reference_et
from advisor.signals.water_balance import TURF_KC

WEEKS_BACK = 8


class WaterWeek(Record, frozen=True):
    """Sums of seven days that end on `last`, mm; None where a day is not known.

    used: by green grass that lacks no water. left: share of the root zone's water on the last day.
    """

    first: dt.date
    last: dt.date
    rain_mm: float | None
    watered_mm: float
    used_mm: float | None
    left: float | None


def water_weeks(year: Year) -> tuple[WaterWeek, ...]:
    """The last weeks up to today on the largest part of the lawn, oldest first."""
    facts = year.facts
    if facts is None or facts.axis.basis == "normals":
        return ()
    return tuple(_weeks(facts))


def _weeks(facts: WeatherFacts) -> Iterator[WaterWeek]:
    axis, lawn = facts.axis, facts.lawn
    part = slice(axis.today + 1 - 7 * WEEKS_BACK, axis.today + 1)
    days = axis.days[part]
    new_year = days.astype("datetime64[Y]").astype("datetime64[D]")
    et = (
        reference_et(
            axis.columns["air_max_c"][0, part],
            axis.columns["air_min_c"][0, part],
            day_of_year=(days - new_year).astype(np.int64) + 1,
            latitude_deg=lawn.latitude,
            elevation_m=lawn.elevation_m,
        ).mm
        * TURF_KC[lawn.season_type][1]
    )
    rain = axis.columns["rain_mm"][0, part]
    left = facts.series("soil_moisture_share")[0, part]
    seen = np.arange(part.start, part.stop) < axis.observed
    for week in range(WEEKS_BACK):
        at = slice(7 * week, 7 * week + 7)
        first, last = (axis.date(part.start + i) for i in (at.start, at.stop - 1))
        watered = lawn.irrigation_mm or {}
        observed = bool(seen[at].all())
        yield WaterWeek(
            first=first,
            last=last,
            rain_mm=_sum(rain[at]) if observed else None,
            watered_mm=sum(mm for day, mm in watered.items() if first <= day <= last),
            used_mm=_sum(et[at]) if observed else None,
            left=float(left[at.stop - 1]) if observed and np.isfinite(left[at.stop - 1]) else None,
        )


def _sum(values: NDArray[np.float64]) -> float | None:
    total = float(values.sum())
    return total if np.isfinite(total) else None
