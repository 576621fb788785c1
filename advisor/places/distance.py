"""Distance over the globe."""

from __future__ import annotations

from math import asin, cos, radians, sin, sqrt

# Mean radius of the earth (IUGG), km.
EARTH_KM = 6371.0088


def distance_km(latitude: float, longitude: float, latitude2: float, longitude2: float) -> float:
    """Great-circle distance of two points in degrees, km, by the haversine formula.

    Source: R. W. Sinnott, Virtues of the haversine, Sky and Telescope 68 (2), 1984, p. 159.
    """
    north = sin(radians(latitude2 - latitude) / 2) ** 2
    east = sin(radians(longitude2 - longitude) / 2) ** 2
    share = north + cos(radians(latitude)) * cos(radians(latitude2)) * east
    return 2 * EARTH_KM * asin(min(1.0, sqrt(share)))
