"""How well grass grows at a temperature, and how long seed takes to germinate."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.base.complete import complete
from advisor.base.record import Record
from advisor.base.vocabularies import SeasonType
from advisor.signals.running import FloatArray


class GrowthCurve(Record, frozen=True):
    """A bell curve: optimum and spread, °C, and the range of optima in print."""

    optimum_c: float
    spread_c: float
    printed_optima_c: tuple[float, float]


GROWTH_CURVES: dict[SeasonType, GrowthCurve] = complete(
    {
        "cool": GrowthCurve(20.0, 5.5, (19.4, 20.0)),
        "warm": GrowthCurve(31.0, 7.0, (31.0, 31.1)),
    },
    SeasonType,
)
"""Optima published: Gelernter & Stowell (cool 68 °F, warm 88 °F; 67 and 67.5 °F also in print for
cool: USGA Green Section 2019). Spreads from memory of Gelernter & Stowell 2005. Measured optima for
clipping yield: cool 18.8-20.6, warm 31.8-36.1 °C (Flournoy 2017, Mississippi State University)."""


def growth_potential(
    mean_air_c: npt.ArrayLike, season_type: SeasonType, *, warm_plateau: bool = True
) -> FloatArray:
    """GP = exp(-((T - To) / v)² / 2), 0..1, of daily or monthly mean air temperature, °C.

    Source: Gelernter & Stowell 2005. With `warm_plateau` warm-season grasses stay at 1 above their
    optimum, the authors' later revision (read second-hand). Any shape; NaN gives NaN.
    """
    curve = GROWTH_CURVES[season_type]
    distance = np.asarray(mean_air_c, dtype=np.float64) - curve.optimum_c
    if season_type == "warm" and warm_plateau:
        distance = np.minimum(distance, 0.0)
    return np.asarray(np.exp(-0.5 * (distance / curve.spread_c) ** 2), dtype=np.float64)


class ThermalTime(Record, frozen=True):
    """Base temperature, °C, and °C·day above it until half the seed has germinated."""

    base_c: float
    half_germinated_c_days: float


GERMINATION: dict[str, ThermalTime] = {
    "kentucky_bluegrass": ThermalTime(2.6, 115.6),
    "perennial_ryegrass": ThermalTime(3.6, 63.9),
    "slender_creeping_red_fescue": ThermalTime(2.6, 43.8),
}
"""Published: Larsen & Bibby 2005, Crop Science 45:2030-2037 (abstract read). Measured in constant
warmth and moisture: in the field the printed ranges are longer (bluegrass 14 to 30 days)."""


def days_to_germinate(soil_c: npt.ArrayLike, grass: ThermalTime) -> FloatArray:
    """Days from a sowing on each day until half the seed has germinated, kept moist; (..., days).

    Counts max(0, T - base) from the day of sowing on; the answer on day i is the smallest n with
    the sum of days i .. i+n-1 at least the thermal time. inf where the array ends first, NaN where
    an unknown day comes before the count is full.
    """
    soil = np.asarray(soil_c, dtype=np.float64)
    heat = np.maximum(soil - grass.base_c, 0.0)
    days = heat.shape[-1]
    rows = heat.reshape(-1, days)
    out = np.full(rows.shape, np.inf)
    index = np.arange(days)
    for row, answer in zip(rows, out, strict=True):
        unknown = np.isnan(row)
        total = np.concatenate(([0.0], np.cumsum(np.where(unknown, 0.0, row))))
        # A hair under the target, so that a sum equal to it in exact arithmetic still counts.
        done = np.searchsorted(total, total[:-1] + grass.half_germinated_c_days - 1e-9)
        reached = done <= days
        answer[reached] = (done - index)[reached]
        holes = np.concatenate(([0], np.cumsum(unknown)))
        met = holes[np.minimum(done, days)] > holes[:-1]
        answer[met] = np.nan
    return out.reshape(heat.shape)
