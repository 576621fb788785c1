"""How warmth drives what lives: degree days, growth of grass, germination, two leaf diseases.

The three ways to count degree days differ most in spring, so an output must name the one used.
Units: °C·day for °C in, °F·day for °F in. Shapes (..., days); NaN gives NaN.

The disease models were made to time fungicides on golf and sports turf cut low, from weather
stations beside it. They know nothing of a lawn's mowing height, feeding, shade or watering, and say
when to look, not that a disease is there. Without humidity they say nothing (NaN).
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.base.record import Record
from advisor.base.vocabularies import SeasonType, complete
from advisor.signals.running import FloatArray, trailing_mean


def mean_degree_days(air_max: npt.ArrayLike, air_min: npt.ArrayLike, base: float) -> FloatArray:
    """max(0, (Tmax + Tmin) / 2 - base), the simple-average method.

    Source: Virginia Cooperative Extension (Goatley et al. 2007): base 50 °F, day of 75/27 °F = 1.
    """
    mean = (np.asarray(air_max, dtype=np.float64) + np.asarray(air_min, dtype=np.float64)) / 2.0
    return np.maximum(mean - base, 0.0)


def modified_degree_days(
    air_max: npt.ArrayLike, air_min: npt.ArrayLike, base: float, cap: float
) -> FloatArray:
    """Both extremes are first held within base..cap, then averaged (the "86/50" method for maize).

    From memory: McMaster & Wilhelm 1997, Agric. For. Meteorol. 87:291-300, method 2. ValueError
    when the cap is not above the base.
    """
    if cap <= base:
        raise ValueError(f"cap {cap} must lie above base {base}")
    high = np.clip(np.asarray(air_max, dtype=np.float64), base, cap)
    low = np.clip(np.asarray(air_min, dtype=np.float64), base, cap)
    return np.asarray((high + low) / 2.0 - base, dtype=np.float64)


def sine_degree_days(air_max: npt.ArrayLike, air_min: npt.ArrayLike, base: float) -> FloatArray:
    """Area above the base under one sine wave a day through Tmin and Tmax (single sine).

    From memory: Baskerville & Emin 1969, Ecology 50:514-517. With M the mean, A half the range and
    theta = asin((base - M) / A): ((M - base)(pi/2 - theta) + A cos theta) / pi when the base lies
    between the extremes. NaN where Tmax < Tmin.
    """
    high, low = np.asarray(air_max, dtype=np.float64), np.asarray(air_min, dtype=np.float64)
    mean, half = (high + low) / 2.0, (high - low) / 2.0
    half = np.where(half >= 0.0, half, np.nan)
    excess = mean - base
    # A base outside the wave is clipped to its edge, which gives 0 or the whole mean.
    ratio = np.where(half > 0.0, -excess, -np.sign(excess)) / np.where(half > 0.0, half, 1.0)
    theta = np.arcsin(np.clip(ratio, -1.0, 1.0))
    area = (excess * (np.pi / 2.0 - theta) + half * np.cos(theta)) / np.pi
    return np.asarray(np.maximum(area, 0.0), dtype=np.float64)


def cumulative(degree_days: npt.ArrayLike, start: int = 0) -> FloatArray:
    """Running total from day index `start` on, inclusive; 0 before it.

    A NaN day makes every later total NaN: a total with a hole is not a total. ValueError for a
    start outside the array.
    """
    data = np.asarray(degree_days, dtype=np.float64)
    if not 0 <= start <= data.shape[-1]:
        raise ValueError(f"start {start} lies outside the {data.shape[-1]} days")
    out = np.zeros(data.shape)
    out[..., start:] = np.cumsum(data[..., start:], axis=-1)
    return out


def room_left(degree_days: npt.ArrayLike, end: int) -> FloatArray:
    """Sum of degree days from each day, inclusive, up to day index `end`, exclusive; 0 from `end`.

    With degree days of the soil at base 5 °C and `end` at midwinter it says how much growth a
    sowing on each day can still make. NaN while any day still to come is unknown. ValueError for an
    end outside the array.
    """
    data = np.asarray(degree_days, dtype=np.float64)
    if not 0 <= end <= data.shape[-1]:
        raise ValueError(f"end {end} lies outside the {data.shape[-1]} days")
    out = np.zeros(data.shape)
    out[..., :end] = np.cumsum(data[..., :end][..., ::-1], axis=-1)[..., ::-1]
    return out


def room_until(degree_days: npt.ArrayLike, ends: npt.ArrayLike) -> FloatArray:
    """As `room_left`, with an end of its own for each row: 0 from it on; (..., days) and (...).

    What comes from an end on is not looked at, so an unknown day there is no matter.
    """
    data = np.asarray(degree_days, dtype=np.float64)
    live = np.arange(data.shape[-1]) < np.asarray(ends)[..., np.newaxis]
    kept = np.where(live, data, 0.0)
    left = np.cumsum(kept[..., ::-1], axis=-1)[..., ::-1]
    return np.asarray(np.where(live, left, 0.0), dtype=np.float64)


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


DOLLAR_SPOT_DAYS = 5
"""Both weather terms are means of so many days (Smith et al. 2018)."""
DOLLAR_SPOT_RANGE_C = (10.0, 35.0)
"""The model is run between these mean temperatures only; the fungus rests outside them."""


def dollar_spot_probability(
    mean_air_c: npt.ArrayLike, mean_humidity_pct: npt.ArrayLike
) -> FloatArray:
    """Probability, 0 to 1, that dollar spot is active; daily °C and %, (..., days), NaN unknown.

    L = -11.4041 + 0.0894 RH + 0.1932 T, p = exp(L) / (1 + exp(L)), with RH and T the means of five
    days; 0 where T lies outside 10 to 35 °C. From 20 % on the authors' plots were treated. D. L.
    Smith, J. P. Kerns and others 2018, PLoS ONE 13(3):e0194216: the five-day means and the 20 % are
    in its abstract; the coefficients and the range were read only where others restate them.
    ValueError for a humidity outside 0 to 100 %.
    """
    humidity = trailing_mean(_percent(mean_humidity_pct), DOLLAR_SPOT_DAYS)
    air = trailing_mean(mean_air_c, DOLLAR_SPOT_DAYS)
    logit = -11.4041 + 0.0894 * humidity + 0.1932 * air
    low, high = DOLLAR_SPOT_RANGE_C
    rests = (air < low) | (air > high)
    probability = np.where(rests, 0.0, 1.0 / (1.0 + np.exp(-logit)))
    return np.where(np.isnan(humidity), np.nan, probability)


def brown_patch_index(air_min_c: npt.ArrayLike, mean_humidity_pct: npt.ArrayLike) -> FloatArray:
    """Index E of how well a day suits brown patch; daily °C and %, (..., days), NaN unknown.

    E = -21.5 + 0.15 RH + 1.4 T - 0.033 T^2, with RH the day's mean and T its lowest temperature.
    E of 6 or more is a warning: M. A. Fidanza, P. H. Dernoeden and A. P. Grybauskas 1996,
    Phytopathology 86:385-390 (abstract), made on perennial ryegrass. P. Vincelli, University of
    Kentucky, found 5 better. ValueError for a humidity outside 0 to 100 %.
    """
    humidity = _percent(mean_humidity_pct)
    low = np.asarray(air_min_c, dtype=np.float64)
    index: FloatArray = -21.5 + 0.15 * humidity + 1.4 * low - 0.033 * low**2
    return index


def _percent(humidity: npt.ArrayLike) -> FloatArray:
    values = np.asarray(humidity, dtype=np.float64)
    if np.any((values < 0.0) | (values > 100.0)):
        raise ValueError("relative humidity must lie between 0 and 100 %")
    return values
