"""How much water a turf's root zone holds, and how fast turf draws it: published tables."""

from __future__ import annotations

from typing import Literal

MM_PER_M_PER_INCH_PER_FOOT = 1000.0 / 12.0

AVAILABLE_WATER_MM_PER_M: dict[str, tuple[float, float]] = {
    texture: (low * MM_PER_M_PER_INCH_PER_FOOT, high * MM_PER_M_PER_INCH_PER_FOOT)
    for textures, low, high in (
        (("very_coarse_sand",), 0.4, 0.75),
        (("coarse_sand", "fine_sand", "loamy_sand"), 0.75, 1.25),
        (("sandy_loam", "fine_sandy_loam"), 1.25, 1.75),
        (("very_fine_sandy_loam", "loam", "silt_loam"), 1.5, 2.3),
        (("clay_loam", "silty_clay_loam", "sandy_clay_loam"), 1.75, 2.5),
        (("sandy_clay", "silty_clay", "clay"), 1.6, 2.5),
    )
    for texture in textures
}
"""Lowest and highest available water by texture. Published in inches per foot: University of
California, Drought Management, Soil Characteristics table."""

TURF_KC: dict[Literal["cool", "warm"], tuple[float, float, float]] = {
    "cool": (0.90, 0.95, 0.95),
    "warm": (0.80, 0.85, 0.85),
}
"""Kc initial, middle, end of season: FAO-56 Table 12, for all places. A state's monthly list (as
Meyer et al. 1985 for California, yearly means 0.80 and 0.60) belongs to that state only. Others in
print: New Mexico 0.85 / 0.70; Arizona summer bermudagrass 0.78 to 0.83."""

TURF_DEPLETION_SHARE: dict[Literal["cool", "warm"], float] = {"cool": 0.40, "warm": 0.50}
"""p, the share of TAW that turf draws without stress: FAO-56 Table 22. Its root depth of 0.5 to 1 m
is not used: bluegrass roots lie near 8 in (203 mm), University of Nebraska G1946."""


def total_available_water(texture: str, root_depth_mm: float) -> tuple[float, float, float]:
    """TAW, mm: lowest, middle and highest for a texture and root depth (FAO-56 eq. 82).

    ValueError for a texture that is not in the table or a depth not above 0.
    """
    if root_depth_mm <= 0.0:
        raise ValueError(f"root depth must be above 0 mm, not {root_depth_mm}")
    if texture not in AVAILABLE_WATER_MM_PER_M:
        known = ", ".join(AVAILABLE_WATER_MM_PER_M)
        raise ValueError(f"no available water for soil texture {texture!r} (known: {known})")
    low, high = (x * root_depth_mm / 1000.0 for x in AVAILABLE_WATER_MM_PER_M[texture])
    return low, (low + high) / 2.0, high
