"""How much water a turf's root zone holds, and how fast turf draws it: published tables."""

from __future__ import annotations

from advisor.base.complete import complete
from advisor.base.vocabularies import SeasonType, Texture

MM_PER_M_PER_INCH_PER_FOOT = 1000.0 / 12.0

_INCHES_PER_FOOT: dict[Texture, tuple[float, float]] = {
    "sand": (0.5, 1.25),
    "loamy_sand": (0.75, 1.25),
    "sandy_loam": (1.25, 1.75),
    "loam": (1.5, 2.3),
    "silt_loam": (1.5, 2.3),
    "silt": (1.5, 2.0),
    "clay_loam": (1.75, 2.5),
    "silty_clay_loam": (1.75, 2.5),
    "sandy_clay_loam": (1.75, 2.5),
    "sandy_clay": (1.6, 2.5),
    "silty_clay": (1.6, 2.5),
    "clay": (1.6, 2.5),
}
AVAILABLE_WATER_MM_PER_M: dict[Texture, tuple[float, float]] = complete(
    {
        texture: (low * MM_PER_M_PER_INCH_PER_FOOT, high * MM_PER_M_PER_INCH_PER_FOOT)
        for texture, (low, high) in _INCHES_PER_FOOT.items()
    },
    Texture,
)
"""Lowest and highest available water by texture, published in inches per foot: University of
California, Drought Management, Soil Characteristics table. It has no row for sand and silt. Silt
1.5 to 2.0: University of California Agriculture and Natural Resources, soil texture and water,
which has sand at 0.5 to 1.0; the table has 0.75 to 1.25 for coarse and for fine sand, on either
side of it, so both are kept. From memory, FAO-56 Table 19: sand 50-110 mm/m, silt 160-200."""

TURF_KC: dict[SeasonType, tuple[float, float, float]] = complete(
    {"cool": (0.90, 0.95, 0.95), "warm": (0.80, 0.85, 0.85)}, SeasonType
)
"""Kc initial, middle, end of season: FAO-56 Table 12, for all places. A state's monthly list (as
Meyer et al. 1985 for California, yearly means 0.80 and 0.60) belongs to that state only. Others in
print: New Mexico 0.85 / 0.70; Arizona summer bermudagrass 0.78 to 0.83."""

TURF_DEPLETION_SHARE: dict[SeasonType, float] = complete({"cool": 0.40, "warm": 0.50}, SeasonType)
"""p, the share of TAW that turf draws without stress: FAO-56 Table 22. Its root depth of 0.5 to 1 m
is not used: bluegrass roots lie near 8 in (203 mm), University of Nebraska G1946."""


def total_available_water(texture: Texture, root_depth_mm: float) -> tuple[float, float, float]:
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
