"""Is the ground frozen, does snow lie: simple estimates from air temperature and rain or snow.

Meant for "may I work or spread today?", not for depth of frost. A look at the lawn beats both.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.signals.running import FloatArray

SNOW_BELOW_C = 1.0
"""Daily mean air temperature at or below which precipitation is taken as snow. From memory: the
usual range of such limits is 0 to 2 °C."""
MELT_MM_PER_C_DAY = 2.74
"""Degree-day melt, mm/°C a day. From memory: USDA-NRCS National Engineering Handbook, part 630,
chapter 11, gives 1.6 to 6.0 and 2.74 where nothing better is known."""
DEEPEST_SNOW_MM = 200.0
"""Chosen: more snow water than a lawn in the places this is meant for is likely to carry."""


def frozen_ground(soil_c: npt.ArrayLike) -> FloatArray:
    """1 where the soil is at or below 0 °C, 0 where above, NaN where unknown; shape kept.

    Give it the modelled or measured temperature at 5 cm. The modelled sign is a caution, not a
    measurement: it saw 86 % of the station-days with frozen ground, and on 58 % of the days it
    named the ground was frozen (derived: 21 stations, 2020; docs/validation/soil_temperature.md).
    """
    soil = np.asarray(soil_c, dtype=np.float64)
    return np.where(np.isnan(soil), np.nan, (soil <= 0.0).astype(np.float64))


def snow_water(mean_air_c: npt.ArrayLike, precipitation_mm: npt.ArrayLike) -> FloatArray:
    """Water in lying snow at each day's end, mm, by the temperature-index method; (..., days).

    Snow falls at a mean of SNOW_BELOW_C or less and melts by MELT_MM_PER_C_DAY for each °C above 0.
    Starts bare. A day of unknown temperature, or of unknown precipitation while cold, leaves the
    pack somewhere in 0..DEEPEST_SNOW_MM: NaN until enough warmth since has melted all of that.
    """
    air, rain = np.broadcast_arrays(
        np.asarray(mean_air_c, dtype=np.float64), np.asarray(precipitation_mm, dtype=np.float64)
    )
    change = np.where(air <= SNOW_BELOW_C, rain, 0.0) - MELT_MM_PER_C_DAY * np.maximum(air, 0.0)
    unknown = np.isnan(change)
    gap_on_day = unknown.any(axis=tuple(range(air.ndim - 1)))
    by_day = np.moveaxis(np.where(unknown, 0.0, change), -1, 0)
    bounds = np.zeros((air.shape[-1], 2, *air.shape[:-1]))  # lowest and highest pack
    pack = np.zeros((2, *air.shape[:-1]))
    for day, step in enumerate(by_day):
        pack = np.maximum(pack + step, 0.0, out=bounds[day])
        if gap_on_day[day]:
            gap = unknown[..., day]
            pack[0] = np.where(gap, 0.0, pack[0])
            pack[1] = np.where(gap, DEEPEST_SNOW_MM, pack[1])
    low, high = (np.moveaxis(bounds[:, side], 0, -1) for side in (0, 1))
    return np.where(high - low < 0.5, (high + low) / 2.0, np.nan)
