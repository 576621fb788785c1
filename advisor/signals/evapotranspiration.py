"""Reference evapotranspiration of clipped grass, mm a day.

Source: Allen, Pereira, Raes & Smith 1998, FAO Irrigation and Drainage Paper 56; limits on the cloud
ratio from ASCE-EWRI 2005. Arrays broadcast, last axis = days; NaN gives NaN.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.base.record import Record
from advisor.signals import sun, vapour
from advisor.signals.sun import FloatArray

UNKNOWN, HARGREAVES, PENMAN_MONTEITH = 0, 1, 2
"""Values of `ReferenceEt.method`."""


class ReferenceEt(Record, frozen=True):
    """Reference ET of each day, mm, and how it was found (UNKNOWN, HARGREAVES, ...)."""

    mm: FloatArray
    method: npt.NDArray[np.int8]


def wind_at_2m(wind_m_s: npt.ArrayLike, height_m: float) -> FloatArray:
    """Wind speed at 2 m, m/s, from that at `height_m`: 4.87 / ln(67.8 z - 5.42) (FAO-56 eq. 47)."""
    factor = float(4.87 / np.log(67.8 * height_m - 5.42))
    return np.asarray(wind_m_s, dtype=np.float64) * factor


def hargreaves_samani(
    air_max_c: npt.ArrayLike, air_min_c: npt.ArrayLike, extraterrestrial_mj: npt.ArrayLike
) -> FloatArray:
    """ETo = 0.0023 (Tmean + 17.8) sqrt(Tmax - Tmin) 0.408 Ra, mm/d (FAO-56 eq. 52).

    Root-mean-square difference from Penman-Monteith about 0.5 mm/d (derived: one year at Manhattan,
    Kansas, 2012). NaN where the maximum is under the minimum.
    """
    high = np.asarray(air_max_c, dtype=np.float64)
    low = np.asarray(air_min_c, dtype=np.float64)
    root = np.sqrt(np.where(high >= low, high - low, np.nan))
    water = 0.408 * np.asarray(extraterrestrial_mj, dtype=np.float64)
    return 0.0023 * ((high + low) / 2.0 + 17.8) * root * water


def net_radiation(
    air_max_c: npt.ArrayLike,
    air_min_c: npt.ArrayLike,
    vapour_pressure_kpa: npt.ArrayLike,
    radiation_mj: npt.ArrayLike,
    clear_sky_mj: npt.ArrayLike,
) -> FloatArray:
    """Rn = Rns - Rnl, MJ/m² a day (FAO-56 eq. 40)."""
    longwave = sun.net_longwave(
        air_max_c, air_min_c, vapour_pressure_kpa, radiation_mj, clear_sky_mj
    )
    return sun.net_shortwave(radiation_mj) - longwave


def soil_heat_flux_monthly(previous_mean_c: float, next_mean_c: float) -> float:
    """G = 0.07 (T next - T previous), MJ/m² a day, of a month (FAO-56 eq. 43); a day's G is 0."""
    return 0.07 * (next_mean_c - previous_mean_c)


def penman_monteith(
    air_max_c: npt.ArrayLike,
    air_min_c: npt.ArrayLike,
    *,
    vapour_pressure_kpa: npt.ArrayLike,
    net_radiation_mj: npt.ArrayLike,
    wind_2m_m_s: npt.ArrayLike,
    elevation_m: npt.ArrayLike,
    soil_heat_flux_mj: npt.ArrayLike = 0.0,
) -> FloatArray:
    """FAO Penman-Monteith ETo, mm/d (FAO-56 eq. 6).

    ETo = (0.408 D (Rn - G) + g 900/(T + 273) u2 (es - ea)) / (D + g (1 + 0.34 u2)), D the slope of
    the vapour curve at the mean of Tmax and Tmin, g the psychrometric constant. May be slightly
    negative on cold dark days; `reference_et` holds it to 0.
    """
    high = np.asarray(air_max_c, dtype=np.float64)
    mean = (high + np.asarray(air_min_c, dtype=np.float64)) / 2.0
    wind = np.asarray(wind_2m_m_s, dtype=np.float64)
    slope = vapour.vapour_pressure_slope(mean)
    gamma = vapour.psychrometric_constant(vapour.air_pressure(elevation_m))
    deficit = vapour.mean_saturation_vapour_pressure(high, air_min_c) - np.asarray(
        vapour_pressure_kpa, dtype=np.float64
    )
    heat_flux = np.asarray(soil_heat_flux_mj, dtype=np.float64)
    available = np.asarray(net_radiation_mj, dtype=np.float64) - heat_flux
    energy = 0.408 * slope * available
    drying = gamma * 900.0 / (mean + 273.0) * wind * deficit
    return np.asarray((energy + drying) / (slope + gamma * (1.0 + 0.34 * wind)), dtype=np.float64)


def reference_et(
    air_max_c: npt.ArrayLike,
    air_min_c: npt.ArrayLike,
    *,
    day_of_year: npt.ArrayLike,
    latitude_deg: float,
    elevation_m: float,
    radiation_mj: npt.ArrayLike | None = None,
    vapour_pressure_kpa: npt.ArrayLike | None = None,
    wind_2m_m_s: npt.ArrayLike | None = None,
) -> ReferenceEt:
    """Reference ET of each day by the best method its data allow, mm, never under 0.

    Temperatures (..., days) in °C; `day_of_year` (days,) or the full shape; the optional arrays
    broadcast to the same shape. Penman-Monteith where radiation, vapour pressure and wind are all
    known, else Hargreaves-Samani from the temperatures, else unknown (NaN).
    """
    high = np.asarray(air_max_c, dtype=np.float64)
    low = np.asarray(air_min_c, dtype=np.float64)
    ra = sun.extraterrestrial_radiation(latitude_deg, day_of_year)
    simple = np.broadcast_to(
        hargreaves_samani(high, low, ra), np.broadcast_shapes(high.shape, low.shape, ra.shape)
    )
    best, method = simple, np.where(np.isnan(simple), UNKNOWN, HARGREAVES)
    if radiation_mj is not None and vapour_pressure_kpa is not None and wind_2m_m_s is not None:
        clear = sun.clear_sky_radiation(ra, elevation_m)
        full = penman_monteith(
            high,
            low,
            vapour_pressure_kpa=vapour_pressure_kpa,
            net_radiation_mj=net_radiation(high, low, vapour_pressure_kpa, radiation_mj, clear),
            wind_2m_m_s=wind_2m_m_s,
            elevation_m=elevation_m,
        )
        known = ~np.isnan(full)
        best = np.where(known, full, simple)
        method = np.where(known, PENMAN_MONTEITH, method)
    return ReferenceEt(mm=np.maximum(best, 0.0), method=method.astype(np.int8))
