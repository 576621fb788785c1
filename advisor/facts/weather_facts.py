"""Every weather fact as an array over members and days, computed when it is first asked for."""

from __future__ import annotations

from collections.abc import Callable, Collection, Hashable
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from advisor.facts.axis import Axis, SeasonDays, Values, days_lengthen, season_days
from advisor.facts.fact import Lawn
from advisor.facts.temperature_facts import (
    brown_patch_highest,
    dollar_spot_risk,
    freeze_limit,
    of_the_years,
    spring_warmth,
    warmth_before_frost,
)
from advisor.facts.water_facts import WaterFacts, day_of_year
from advisor.signals.freeze import frozen_ground
from advisor.signals.growth import growth_potential, room_left
from advisor.signals.running import days_since, days_until, starts_run, trailing_mean, trailing_sum
from advisor.signals.season_shape import mean_hot_days, mean_lowest, past_warm_peak
from advisor.signals.soil_temperature import SHALLOWEST_CM, soil_temperature
from advisor.signals.sun import sunrise_to_sunset_hours

ROOM_BASE_C = 5.0
"""Base of the growing warmth of the soil: cool-season growth all but stops below it (chosen)."""
PEAK_FALL_C = 0.5
"""How far the 30-day mean must have come down for the peak to count as past (chosen)."""
LASTING_HEAT_C = 24.0
"""5-day soil temperature that counts as lasting summer heat (75 °F, chosen)."""
COLD_SOIL_C = 40 / 9
"""40 °F: the limit of the published sign for dormant seeding, here that growth is over."""
WARM_SOIL_C = 10.0
"""50 °F: below it the growth of cool-season turf is ending (rules/operations/feeding.yaml)."""
FROST_CM = 5
"""Depth at which measured soil tells whether the ground is frozen, cm."""
SEARCH_DAYS = 120
"""Days to heat, cold soil or a hard freeze are sought no further; the value then means so many or
more."""


class WeatherFacts:
    """`series(name)` gives an array (members, days): flags are 0 and 1, NaN is unknown."""

    def __init__(self, axis: Axis, lawn: Lawn) -> None:
        self.axis = axis
        self.lawn = lawn
        self._own: dict[str, Values] = {}
        # Areas of one lawn share their axis, and most of what is computed on it.
        self._shared = axis.memo.setdefault(self._of_place, {})

    def series(self, name: str) -> Values:
        """The fact over members and days. Raises `KeyError` for a fact that is not computed."""
        kept = self._own if name in _OF_ONE_LAWN else self._shared
        if name not in kept:
            kept[name] = np.broadcast_to(_SERIES[name](self), self.axis.shape)
        return kept[name]

    @property
    def _of_place(self) -> Hashable:
        lawn = self.lawn
        return (lawn.latitude, lawn.climate, lawn.season_type, lawn.soil_offset_c)

    @cached_property
    def place(self) -> Hashable:
        """Lawns with an equal one have all facts on an axis in common."""
        lawn = self.lawn
        watered = tuple(sorted((lawn.irrigation_mm or {}).items()))
        soil = (lawn.elevation_m, lawn.texture, lawn.root_depth_mm, lawn.watering_unknown)
        return (self._of_place, soil, watered)

    def place_for(self, names: Collection[str]) -> Hashable:
        """Lawns with an equal one have these facts on an axis in common."""
        return self._of_place if _OF_ONE_LAWN.isdisjoint(names) else self.place

    @cached_property
    def seasons(self) -> tuple[SeasonDays, ...]:
        """The season years that touch the axis, oldest first."""
        return season_days(self.axis, self.lawn.latitude)

    @cached_property
    def water(self) -> WaterFacts:
        """What rain, waterings and the root zone tell."""
        return WaterFacts(self.axis, self.lawn)

    @cached_property
    def soil_c(self) -> Values:
        """Daily soil temperature at 10 cm, °C."""
        return self._soil(10)

    def _soil(self, depth_cm: int) -> Values:
        """As measured where the record has it, else modelled with the keeper's offset."""
        modelled = soil_temperature(
            self._column("air_max_c"),
            self._column("air_min_c"),
            depth_cm,
            climate=self.lawn.climate,
            offset_c=self.lawn.soil_offset_c,
        )
        return self._measured_or(depth_cm, modelled)

    def _measured_or(self, depth_cm: int, modelled: Values) -> Values:
        measured = self.axis.columns.get(f"soil_{depth_cm}cm_c")
        if measured is None:
            return modelled
        return np.where(np.isnan(measured), modelled, measured)

    def _column(self, name: str) -> Values:
        return self.axis.columns[name]

    @cached_property
    def _mean_c(self) -> Values:
        return (self._column("air_max_c") + self._column("air_min_c")) / 2

    def soil_mean(self, window: int) -> Values:
        """Soil temperature at 10 cm as the mean of the last `window` days."""
        return trailing_mean(self.soil_c, window)

    def past_peak(self) -> Values:
        """1 once the 30-day mean of air temperature has come down from its summer peak."""
        out = np.full(self.axis.shape, np.nan)
        for season in self.seasons:
            # Far enough before midsummer that a peak in early summer is seen too.
            start = max(season.midsummer - 20, 0)
            signs = past_warm_peak(self._mean_c, start=start)
            part = slice(max(season.midsummer, 0), season.next_midsummer)
            below = signs.below_peak_c[:, part]
            out[:, part] = np.where(np.isnan(below), np.nan, below >= PEAK_FALL_C)
        return out

    def room(self) -> Values:
        """Degree days (base 5 °C, soil at 10 cm) from each day to midwinter; 0 after it."""
        warmth = np.maximum(self.soil_c - ROOM_BASE_C, 0.0)
        out = np.full(self.axis.shape, np.nan)
        for season in self.seasons:
            part = slice(max(season.midsummer, 0), max(season.next_midsummer, 0))
            if 0 < season.midwinter <= warmth.shape[1]:
                out[:, part] = room_left(warmth, season.midwinter)[:, part]
            elif season.midwinter <= 0:
                out[:, part] = 0.0
        return out

    def before_frost(self) -> Values:
        """Degree days of the air to the next autumn's first freeze; see `facts.freezes`."""
        low = self._column("air_min_c")
        return warmth_before_frost(self.axis, self.seasons, self._mean_c, low)

    def days_to_heat(self) -> Values:
        """Days until the soil's 5-day mean reaches `LASTING_HEAT_C`, at most `SEARCH_DAYS`."""
        soil = self.soil_mean(5)
        return days_until(_mark(soil, soil >= LASTING_HEAT_C), SEARCH_DAYS)

    def days_to_cold(self) -> Values:
        """Days until the soil's 5-day mean goes under `COLD_SOIL_C` for a week on end."""
        soil = self.soil_mean(5)
        return days_until(starts_run(_mark(soil, soil < COLD_SOIL_C), 7), SEARCH_DAYS)

    def days_since_warm(self) -> Values:
        """Days since the soil's 7-day mean last stood at `WARM_SOIL_C`, at most `SEARCH_DAYS`."""
        soil = self.soil_mean(7)
        return days_since(_mark(soil, soil >= WARM_SOIL_C), SEARCH_DAYS)

    def days_to_hard_freeze(self) -> Values:
        """Days until a night of 28 °F (-2.2 °C) or less, 0 on its day, at most `SEARCH_DAYS`."""
        low = self._column("air_min_c")
        return days_until(_mark(low, low <= freeze_limit(self.axis, "hard_freeze")), SEARCH_DAYS)

    def lowest(self) -> Values:
        """Mean lowest night of a year, °C; monthly normals hide single nights."""
        return of_the_years(self.axis, "air_min_c", mean_lowest)

    def hot_days(self) -> Values:
        """Mean number of days a year of 90 °F (32.2 °C) or more; unknown from monthly normals."""
        return of_the_years(self.axis, "air_max_c", mean_hot_days)

    def hard_freeze_ahead(self) -> Values:
        """1 while a hard freeze comes within `SEARCH_DAYS`: over in spring after the last one."""
        days = self.days_to_hard_freeze()
        return _mark(days, days < SEARCH_DAYS)

    def warmest(self, window: int) -> Values:
        """Highest daily maximum of the last `window` days."""
        high = self._column("air_max_c")
        stacked = [np.roll(high, back, axis=1) for back in range(window)]
        out = np.max(stacked, axis=0)
        out[:, : window - 1] = np.nan
        return np.asarray(out)

    def days_to_frost(self) -> Values:
        """Days until a night of 32 °F (0 °C) or less, 0 on its day, at most `SEARCH_DAYS`."""
        low = self._column("air_min_c")
        return days_until(_mark(low, low <= freeze_limit(self.axis, "freeze")), SEARCH_DAYS)

    def day_length(self) -> Values:
        """Sunrise to sunset, hours."""
        return sunrise_to_sunset_hours(self.lawn.latitude, day_of_year(self.axis.days))[None, :]

    def growth(self) -> Values:
        """Growth potential of the mean air temperature of the last ten days."""
        return growth_potential(trailing_mean(self._mean_c, 10), self.lawn.season_type)

    def night_lows(self) -> Values:
        """Mean daily minimum of the last ten days, °C."""
        return trailing_mean(self._column("air_min_c"), 10)

    def rain(self) -> Values:
        """Rain of the last three days, mm."""
        return trailing_sum(self._column("rain_mm"), 3)

    def frozen(self) -> Values:
        """1 where the soil is at or below 0 °C, at 5 cm or at the next depth that was fitted."""
        cm = SHALLOWEST_CM[self.lawn.climate]
        return frozen_ground(self._measured_or(FROST_CM, self._soil(cm)))


_SERIES: dict[str, Callable[[WeatherFacts], Values]] = {
    "soil_temperature_4in": lambda facts: facts.soil_mean(5),
    "soil_temperature_4in_7d": lambda facts: facts.soil_mean(7),
    "past_warm_peak": WeatherFacts.past_peak,
    "night_low_10d": WeatherFacts.night_lows,
    "air_high_3d": lambda facts: facts.warmest(3),
    "room_left": WeatherFacts.room,
    "warmth_before_frost": WeatherFacts.before_frost,
    "days_to_heat": WeatherFacts.days_to_heat,
    "days_to_cold_soil": WeatherFacts.days_to_cold,
    "days_since_warm_soil": WeatherFacts.days_since_warm,
    "days_to_hard_freeze": WeatherFacts.days_to_hard_freeze,
    "hard_freeze_ahead": WeatherFacts.hard_freeze_ahead,
    "days_to_frost": WeatherFacts.days_to_frost,
    "lowest_night": WeatherFacts.lowest,
    "hot_days": WeatherFacts.hot_days,
    "day_length": WeatherFacts.day_length,
    "spring_warmth": lambda facts: spring_warmth(
        facts._column("air_max_c"), facts._column("air_min_c"), facts.seasons
    ),
    "days_lengthen": lambda facts: days_lengthen(facts.seasons, facts.axis.shape),
    "growth_potential": WeatherFacts.growth,
    "soil_moisture_share": lambda facts: facts.water.moisture(),
    "water_deficit": lambda facts: facts.water.deficit(),
    "dry_spell": lambda facts: facts.water.dry_days(),
    "wet_run": lambda facts: facts.water.wet_days(),
    "air_mean_5d": lambda facts: trailing_mean(facts._mean_c, 5),
    "dollar_spot_risk": lambda facts: dollar_spot_risk(facts.axis.columns),
    "brown_patch_index": lambda facts: brown_patch_highest(facts.axis.columns),
    "rain_3d": WeatherFacts.rain,
    "frozen_ground": WeatherFacts.frozen,
}

COMPUTED = frozenset(_SERIES)
_OF_ONE_LAWN = frozenset({"soil_moisture_share", "water_deficit", "dry_spell"})


def _mark(values: Values, holds: NDArray[np.bool_]) -> Values:
    """1 and 0, and NaN where the value is unknown."""
    return np.where(np.isnan(values), np.nan, holds.astype(np.float64))
