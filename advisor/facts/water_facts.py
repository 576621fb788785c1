"""The facts of water: rain, waterings and what the root zone holds, followed around today."""

from __future__ import annotations

from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from advisor.facts.axis import Axis, Values
from advisor.facts.lawn_place import Lawn
from advisor.signals.dry_spell import dry_spell
from advisor.signals.evapotranspiration import reference_et
from advisor.signals.turf_water import TURF_DEPLETION_SHARE, TURF_KC, total_available_water
from advisor.signals.water_balance import WaterBalance, water_balance
from advisor.signals.wet_run import longest_wet_run

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
