"""Facts of water: rain past and to come, waterings, and what the root zone holds."""

from __future__ import annotations

import datetime as dt
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from advisor.facts.axis import Axis, Values
from advisor.facts.fact import Fact, Lawn
from advisor.signals.evapotranspiration import reference_et
from advisor.signals.running import dry_spell, longest_wet_run
from advisor.signals.water_balance import (
    TURF_DEPLETION_SHARE,
    TURF_KC,
    WaterBalance,
    total_available_water,
    water_balance,
)
from advisor.weather.table import WeatherTable

NAME = "rain_forecast"
DAYS_AHEAD = 1
FRESH_DAYS = 1
"""A forecast issued earlier than yesterday says too little of tomorrow (chosen)."""


def rain_forecast(weather: WeatherTable | None, on: dt.date) -> Fact:
    """The most rain of a day, today or tomorrow, mm; unknown without a fresh forecast of it."""
    issued = weather.forecast_issued if weather is not None else None
    if weather is None or issued is None or weather.forecast_from is None:
        return Fact(NAME, None, "computed", None, "no forecast")
    if not 0 <= (on - issued).days <= FRESH_DAYS:
        return Fact(NAME, None, "computed", issued, "no forecast of these days")
    first = max(on, weather.forecast_from)
    wanted = np.datetime64(first), np.datetime64(on + dt.timedelta(days=DAYS_AHEAD))
    part = (weather.days >= wanted[0]) & (weather.days <= wanted[1])
    rain = weather.column("rain_mm")[part]
    known = rain[~np.isnan(rain)]
    if not len(known):
        return Fact(NAME, None, "computed", issued, "the forecast does not tell the rain")
    return Fact(NAME, float(known.max()), "computed", issued)


SOAKING_MM = 12.7
"""Half an inch in three days ends a dry spell: Purdue gives dormant turf as much every 4 weeks."""
BALANCE_DAYS = (150, 60)
"""The root-zone balance is followed from this many days before today to this many after it."""


class WaterFacts:
    """Arrays (members, days) of one lawn; NaN away from today and where something is unknown."""

    def __init__(self, axis: Axis, lawn: Lawn) -> None:
        self.axis = axis
        self.lawn = lawn

    def moisture(self) -> Values:
        """Share of the root zone's available water left; NaN away from today."""
        return self._near_today(None if self._balance is None else self._balance.available_share)

    def deficit(self) -> Values:
        """Water that would refill the root zone, mm; NaN away from today."""
        return self._near_today(None if self._balance is None else self._balance.depletion_mm)

    def dry_days(self) -> Values:
        """Days since rain or recorded watering last gave `SOAKING_MM`; NaN away from today."""
        part = self._followed
        water = self.axis.columns["rain_mm"][:, part] + self._irrigation(part)
        return self._near_today(dry_spell(water, SOAKING_MM))

    def wet_days(self) -> Values:
        """Longest run of rainy days in the last seven; NaN away from today."""
        return self._near_today(longest_wet_run(self.axis.columns["rain_mm"][:, self._followed], 7))

    @property
    def _followed(self) -> slice:
        first = max(self.axis.today - BALANCE_DAYS[0], 0)
        return slice(first, self.axis.today + BALANCE_DAYS[1])

    def _near_today(self, values: Values | None) -> Values:
        out = np.full(self.axis.shape, np.nan)
        if values is not None:
            out[:, self._followed] = values
        return out

    @cached_property
    def _balance(self) -> WaterBalance | None:
        """The root zone's water on the days followed; None without texture or root depth."""
        lawn, part = self.lawn, self._followed
        if lawn.texture is None or lawn.root_depth_mm is None:
            return None
        et = reference_et(
            self.axis.columns["air_max_c"][:, part],
            self.axis.columns["air_min_c"][:, part],
            day_of_year=day_of_year(self.axis.days)[part],
            latitude_deg=lawn.latitude,
            elevation_m=lawn.elevation_m,
        )
        return water_balance(
            self.axis.columns["rain_mm"][:, part],
            et.mm,
            total_available_mm=total_available_water(lawn.texture, lawn.root_depth_mm)[1],
            depletion_share=TURF_DEPLETION_SHARE[lawn.season_type],
            crop_coefficient=TURF_KC[lawn.season_type][1],
            irrigation_mm=self._irrigation(part),
            irrigated_unknown=lawn.watering_unknown,
        )

    def _irrigation(self, part: slice) -> Values:
        recorded = self.lawn.irrigation_mm or {}
        amounts = np.zeros(len(self.axis.days))
        for day, depth in recorded.items():
            at = self.axis.index(day)
            if 0 <= at < len(amounts):
                amounts[at] += depth
        return amounts[part]


def day_of_year(days: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """1 on 1 January."""
    start = days.astype("datetime64[Y]").astype("datetime64[D]")
    return np.asarray((days - start).astype(np.int64) + 1)
