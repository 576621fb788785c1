"""Day length under two definitions; they differ by 8 to 20 minutes, so each has its own name."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.signals.sun import FloatArray, declination, sunset_hour_angle

RISING_SUN_ALTITUDE_DEG = -0.833
"""Altitude of the sun's centre at sunrise and sunset: 34' of refraction and 16' of half a disk
(U.S. Naval Observatory, definitions of rise and set)."""


def daylight_hours(latitude_deg: npt.ArrayLike, day_of_year: npt.ArrayLike) -> FloatArray:
    """N = 24 omega_s / pi, hours (FAO-56 eq. 34): the sun's centre over a flat horizon, no air.

    Use it where a formula asks for N. For what a person sees use `sunrise_to_sunset_hours`.
    Broadcasts; NaN gives NaN; 0 in polar night, 24 in polar day.
    """
    return 24.0 / np.pi * sunset_hour_angle(latitude_deg, day_of_year)


def sunrise_to_sunset_hours(latitude_deg: npt.ArrayLike, day_of_year: npt.ArrayLike) -> FloatArray:
    """Hours from sunrise to sunset as almanacs give them, with refraction and the sun's disk.

    cos(omega) = (sin(-0.833°) - sin(phi) sin(delta)) / (cos(phi) cos(delta)); hours =
    24 omega / pi; declination from FAO-56 eq. 24. Broadcasts; NaN gives NaN; 0..24.
    """
    phi = np.radians(np.asarray(latitude_deg, dtype=np.float64))
    delta = declination(day_of_year)
    top = np.sin(np.radians(RISING_SUN_ALTITUDE_DEG)) - np.sin(phi) * np.sin(delta)
    cosine = top / np.maximum(np.cos(phi) * np.cos(delta), 1e-12)
    hours = 24.0 / np.pi * np.arccos(np.clip(cosine, -1.0, 1.0))
    return np.asarray(hours, dtype=np.float64)
