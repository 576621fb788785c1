"""How fast a machine covers ground.

Effective field capacity (ASABE Standard EP496; Iowa State University Extension A3-24): speed times
width times field efficiency, the share of the time not lost to turning, overlap and emptying.
"""

from __future__ import annotations


def effective_field_capacity(speed_m_s: float, width_m: float, efficiency: float) -> float:
    """m² a second. In US units: acres an hour = mph x ft x efficiency / 8.25.

    Raises `ValueError` unless speed and width are over 0 and the efficiency over 0 and at most 1.
    """
    if not (speed_m_s > 0 and width_m > 0 and 0 < efficiency <= 1):
        raise ValueError("wanted speed and width over 0, and an efficiency over 0 and at most 1")
    return speed_m_s * width_m * efficiency


def minutes_of_work(
    area_m2: float, passes: int, speed_m_s: float, width_m: float, efficiency: float
) -> float:
    """Minutes for so many passes over an area, m²."""
    return area_m2 * passes / effective_field_capacity(speed_m_s, width_m, efficiency) / 60
