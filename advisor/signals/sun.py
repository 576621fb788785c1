"""The sun's position, the length of its day, and the radiation that follows from it.

Latitudes in degrees, north positive. Days of the year count from 1. Functions work element by
element and broadcast; NaN gives NaN. Radiation in MJ/m² a day.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
SOLAR_CONSTANT = 0.0820
"""MJ/m² a minute (FAO-56 eq. 21)."""
STEFAN_BOLTZMANN = 4.903e-9
"""MJ/K⁴/m² a day (FAO-56 eq. 39)."""


def _array(values: npt.ArrayLike) -> FloatArray:
    return np.asarray(values, dtype=np.float64)


def inverse_relative_distance(day_of_year: npt.ArrayLike) -> FloatArray:
    """dr = 1 + 0.033 cos(2 pi J / 365) (FAO-56 eq. 23)."""
    angle = 2.0 * np.pi / 365.0 * _array(day_of_year)
    return np.asarray(1.0 + 0.033 * np.cos(angle), dtype=np.float64)


def declination(day_of_year: npt.ArrayLike) -> FloatArray:
    """Solar declination, radians: 0.409 sin(2 pi J / 365 - 1.39) (FAO-56 eq. 24)."""
    return 0.409 * np.sin(2.0 * np.pi / 365.0 * _array(day_of_year) - 1.39)


def sunset_hour_angle(latitude_deg: npt.ArrayLike, day_of_year: npt.ArrayLike) -> FloatArray:
    """Hour angle at which the sun's centre sets on a flat horizon, radians (FAO-56 eq. 25).

    Limited to 0 in polar night and pi in polar day.
    """
    cosine = -np.tan(np.radians(_array(latitude_deg))) * np.tan(declination(day_of_year))
    return np.asarray(np.arccos(np.clip(cosine, -1.0, 1.0)), dtype=np.float64)


def extraterrestrial_radiation(
    latitude_deg: npt.ArrayLike, day_of_year: npt.ArrayLike
) -> FloatArray:
    """Ra, MJ/m² a day (FAO-56 eq. 21)."""
    phi, delta = np.radians(_array(latitude_deg)), declination(day_of_year)
    omega = sunset_hour_angle(latitude_deg, day_of_year)
    geometry = omega * np.sin(phi) * np.sin(delta) + np.cos(phi) * np.cos(delta) * np.sin(omega)
    factor = 24.0 * 60.0 / np.pi * SOLAR_CONSTANT
    return np.asarray(factor * inverse_relative_distance(day_of_year) * geometry, dtype=np.float64)


def clear_sky_radiation(
    extraterrestrial_mj: npt.ArrayLike, elevation_m: npt.ArrayLike
) -> FloatArray:
    """Rso = (0.75 + 2e-5 z) Ra, MJ/m² a day, z in m (FAO-56 eq. 37)."""
    return (0.75 + 2e-5 * _array(elevation_m)) * _array(extraterrestrial_mj)


def radiation_from_sunshine(
    sunshine_hours: npt.ArrayLike,
    daylight_hours: npt.ArrayLike,
    extraterrestrial_mj: npt.ArrayLike,
) -> FloatArray:
    """Rs = (0.25 + 0.50 n/N) Ra, MJ/m² a day (FAO-56 eq. 35, Ångström)."""
    share = _array(sunshine_hours) / _array(daylight_hours)
    return (0.25 + 0.50 * share) * _array(extraterrestrial_mj)


def radiation_from_temperature(
    air_max_c: npt.ArrayLike,
    air_min_c: npt.ArrayLike,
    extraterrestrial_mj: npt.ArrayLike,
    *,
    coefficient: float = 0.16,
) -> FloatArray:
    """Rs = k sqrt(Tmax - Tmin) Ra, MJ/m² a day (FAO-56 eq. 50, Hargreaves).

    k = 0.16 inland, 0.19 on coasts. A maximum under the minimum is unknown: NaN.
    """
    span = _array(air_max_c) - _array(air_min_c)
    root = np.sqrt(np.where(span >= 0.0, span, np.nan))
    return coefficient * root * _array(extraterrestrial_mj)


def net_shortwave(radiation_mj: npt.ArrayLike, *, albedo: float = 0.23) -> FloatArray:
    """Rns = (1 - albedo) Rs, MJ/m² a day (FAO-56 eq. 38; 0.23 is the grass reference)."""
    return (1.0 - albedo) * _array(radiation_mj)


def net_longwave(
    air_max_c: npt.ArrayLike,
    air_min_c: npt.ArrayLike,
    vapour_pressure_kpa: npt.ArrayLike,
    radiation_mj: npt.ArrayLike,
    clear_sky_mj: npt.ArrayLike,
) -> FloatArray:
    """Rnl, MJ/m² a day, positive outgoing (FAO-56 eq. 39).

    The cloud ratio Rs/Rso is held to 0.3..1.0 as the ASCE standard (ASCE-EWRI 2005, eq. 18) has it;
    FAO-56 limits it to at most 1 only. On dark days the two differ by up to 0.33 mm/d of ET.
    """
    kelvin4 = ((_array(air_max_c) + 273.16) ** 4 + (_array(air_min_c) + 273.16) ** 4) / 2.0
    clear = _array(clear_sky_mj)
    ratio = np.divide(
        _array(radiation_mj),
        clear,
        out=np.full(np.broadcast_shapes(np.shape(radiation_mj), clear.shape), np.nan),
        where=clear > 0.0,
    )
    # No sun at all (polar night) says nothing about cloud; the ASCE lower limit stands in.
    ratio = np.where(clear <= 0.0, 0.3, np.clip(ratio, 0.3, 1.0))
    humidity = 0.34 - 0.14 * np.sqrt(np.maximum(_array(vapour_pressure_kpa), 0.0))
    return STEFAN_BOLTZMANN * kelvin4 * humidity * (1.35 * ratio - 0.35)


RISING_SUN_ALTITUDE_DEG = -0.833
"""Altitude of the sun's centre at sunrise and sunset: 34' of refraction and 16' of half a disk
(U.S. Naval Observatory, definitions of rise and set)."""


def daylight_hours(latitude_deg: npt.ArrayLike, day_of_year: npt.ArrayLike) -> FloatArray:
    """N = 24 omega_s / pi, hours (FAO-56 eq. 34): the sun's centre over a flat horizon, no air.

    Use it where a formula asks for N. For what a person sees use `sunrise_to_sunset_hours`.
    Broadcasts; NaN gives NaN; 0 in polar night, 24 in polar day.
    """
    return 24.0 / np.pi * sunset_hour_angle(latitude_deg, day_of_year)


def precise_declination(day_of_year: npt.ArrayLike) -> FloatArray:
    """Solar declination at noon, radians, by the sun's ecliptic longitude.

    From memory: the low-precision formulas of the Astronomical Almanac, started from the mean of
    the leap cycle 2024-2027, so that a day of the year is enough; within 0.004 rad in any of them.
    FAO-56 eq. 24 is up to 0.02 off, or 10 minutes of day length in September.
    """
    elapsed = np.radians(0.98565) * (np.asarray(day_of_year, dtype=np.float64) - 1.0)
    anomaly = np.radians(357.65) + elapsed
    equation = np.radians(1.915) * np.sin(anomaly) + np.radians(0.020) * np.sin(2.0 * anomaly)
    longitude = np.radians(281.03) + elapsed + equation
    sine = np.sin(np.radians(23.437)) * np.sin(longitude)
    return np.asarray(np.arcsin(sine), dtype=np.float64)


def sunrise_to_sunset_hours(latitude_deg: npt.ArrayLike, day_of_year: npt.ArrayLike) -> FloatArray:
    """Hours from sunrise to sunset as almanacs give them, with refraction and the sun's disk.

    cos(omega) = (sin(-0.833°) - sin(phi) sin(delta)) / (cos(phi) cos(delta)); hours =
    24 omega / pi; `precise_declination`. Broadcasts; NaN gives NaN; 0..24.
    """
    phi = np.radians(np.asarray(latitude_deg, dtype=np.float64))
    delta = precise_declination(day_of_year)
    top = np.sin(np.radians(RISING_SUN_ALTITUDE_DEG)) - np.sin(phi) * np.sin(delta)
    cosine = top / np.maximum(np.cos(phi) * np.cos(delta), 1e-12)
    hours = 24.0 / np.pi * np.arccos(np.clip(cosine, -1.0, 1.0))
    return np.asarray(hours, dtype=np.float64)
