"""Water vapour and air pressure, FAO Irrigation and Drainage Paper 56 (Allen et al. 1998), ch. 3.

All functions work element by element on arrays of any shape; NaN gives NaN.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]


def _array(values: npt.ArrayLike) -> FloatArray:
    return np.asarray(values, dtype=np.float64)


def saturation_vapour_pressure(temperature_c: npt.ArrayLike) -> FloatArray:
    """e°(T) = 0.6108 exp(17.27 T / (T + 237.3)), kPa, T in °C (FAO-56 eq. 11)."""
    t = _array(temperature_c)
    return 0.6108 * np.exp(17.27 * t / (t + 237.3))


def mean_saturation_vapour_pressure(
    air_max_c: npt.ArrayLike, air_min_c: npt.ArrayLike
) -> FloatArray:
    """es = (e°(Tmax) + e°(Tmin)) / 2, kPa (FAO-56 eq. 12)."""
    return (saturation_vapour_pressure(air_max_c) + saturation_vapour_pressure(air_min_c)) / 2.0


def vapour_pressure_slope(temperature_c: npt.ArrayLike) -> FloatArray:
    """Slope of the saturation curve, 4098 e°(T) / (T + 237.3)², kPa/°C (FAO-56 eq. 13)."""
    t = _array(temperature_c)
    return 4098.0 * saturation_vapour_pressure(t) / (t + 237.3) ** 2


def air_pressure(elevation_m: npt.ArrayLike) -> FloatArray:
    """P = 101.3 ((293 - 0.0065 z) / 293)^5.26, kPa, z in m (FAO-56 eq. 7)."""
    return 101.3 * ((293.0 - 0.0065 * _array(elevation_m)) / 293.0) ** 5.26


def psychrometric_constant(pressure_kpa: npt.ArrayLike) -> FloatArray:
    """gamma = 0.000665 P, kPa/°C (FAO-56 eq. 8)."""
    return 0.000665 * _array(pressure_kpa)


def from_humidity_max_min(
    air_max_c: npt.ArrayLike,
    air_min_c: npt.ArrayLike,
    humidity_max_pct: npt.ArrayLike,
    humidity_min_pct: npt.ArrayLike,
) -> FloatArray:
    """Actual vapour pressure, kPa, from daily extremes of relative humidity, % (FAO-56 eq. 17)."""
    morning = saturation_vapour_pressure(air_min_c) * _array(humidity_max_pct) / 100.0
    afternoon = saturation_vapour_pressure(air_max_c) * _array(humidity_min_pct) / 100.0
    return (morning + afternoon) / 2.0


def from_humidity_max(air_min_c: npt.ArrayLike, humidity_max_pct: npt.ArrayLike) -> FloatArray:
    """Actual vapour pressure, kPa, from the daily maximum humidity, % (FAO-56 eq. 18)."""
    return saturation_vapour_pressure(air_min_c) * _array(humidity_max_pct) / 100.0


def from_humidity_mean(
    air_max_c: npt.ArrayLike, air_min_c: npt.ArrayLike, humidity_mean_pct: npt.ArrayLike
) -> FloatArray:
    """Actual vapour pressure, kPa, from the daily mean relative humidity, % (FAO-56 eq. 19)."""
    saturated = mean_saturation_vapour_pressure(air_max_c, air_min_c)
    return saturated * _array(humidity_mean_pct) / 100.0


def from_wet_bulb(
    wet_bulb_c: npt.ArrayLike,
    dry_bulb_c: npt.ArrayLike,
    pressure_kpa: npt.ArrayLike,
    *,
    coefficient_per_c: float = 0.000662,
) -> FloatArray:
    """Actual vapour pressure, kPa, from a psychrometer (FAO-56 eqs 15, 16).

    The coefficient, 1/°C: 0.000662 ventilated (Asmann), 0.0008 naturally ventilated, 0.0012 indoor.
    """
    gamma = coefficient_per_c * _array(pressure_kpa)
    difference = _array(dry_bulb_c) - _array(wet_bulb_c)
    return saturation_vapour_pressure(wet_bulb_c) - gamma * difference
