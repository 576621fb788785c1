"""Day length under two definitions; they differ by 8 to 20 minutes, so each has its own name."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.signals.sun import FloatArray, sunset_hour_angle

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
