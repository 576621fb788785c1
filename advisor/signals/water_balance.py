"""Daily water balance of the turf's root zone (FAO-56 ch. 8: Allen et al. 1998).

    D(t) = D(t-1) + Ks Kc ET0 - rain - irrigation + overflow,   0 <= D <= TAW

D is the depletion, mm below field capacity. Rain and irrigation that the root zone cannot hold
leave as overflow: deep percolation and run-off together, which a daily balance cannot tell apart.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import numpy.typing as npt

from advisor.signals.running import FloatArray

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

AGREED_SHARE = 0.05
"""Chosen: the depletion counts as known once its bounds lie within this share of TAW."""


@dataclass(frozen=True)
class WaterBalance:
    """Each array (..., days), values at the day's end; NaN where unknown."""

    depletion_mm: FloatArray
    available_share: FloatArray
    """1 at field capacity, 0 at the wilting point."""
    lowest_depletion_mm: FloatArray
    highest_depletion_mm: FloatArray
    actual_et_mm: FloatArray
    overflow_mm: FloatArray


def total_available_water(texture: str, root_depth_mm: float) -> tuple[float, float, float]:
    """TAW, mm: lowest, middle and highest for a texture and root depth (FAO-56 eq. 82).

    ValueError for a texture that is not in AVAILABLE_WATER_MM_PER_M or a depth not above 0.
    """
    if root_depth_mm <= 0.0:
        raise ValueError(f"root depth must be above 0 mm, not {root_depth_mm}")
    if texture not in AVAILABLE_WATER_MM_PER_M:
        known = ", ".join(AVAILABLE_WATER_MM_PER_M)
        raise ValueError(f"no available water for soil texture {texture!r} (known: {known})")
    low, high = (x * root_depth_mm / 1000.0 for x in AVAILABLE_WATER_MM_PER_M[texture])
    return low, (low + high) / 2.0, high


def adjusted_depletion_share(p: npt.ArrayLike, crop_et_mm: npt.ArrayLike) -> FloatArray:
    """p + 0.04 (5 - ETc), held to 0.1..0.8 (FAO-56 Table 22, note; ETc mm/d)."""
    shifted = np.asarray(p, dtype=np.float64) + 0.04 * (5.0 - np.asarray(crop_et_mm))
    return np.clip(shifted, 0.1, 0.8)


def stress_coefficient(
    depletion_mm: npt.ArrayLike, total_available_mm: npt.ArrayLike, p: npt.ArrayLike
) -> FloatArray:
    """Ks = (TAW - D) / ((1 - p) TAW), held to 0..1 (FAO-56 eq. 84)."""
    taw = np.asarray(total_available_mm, dtype=np.float64)
    left = taw - np.asarray(depletion_mm, dtype=np.float64)
    return np.clip(left / ((1.0 - np.asarray(p, dtype=np.float64)) * taw), 0.0, 1.0)


def water_balance(
    rain_mm: npt.ArrayLike,
    reference_et_mm: npt.ArrayLike,
    *,
    total_available_mm: npt.ArrayLike,
    depletion_share: npt.ArrayLike,
    crop_coefficient: npt.ArrayLike = 1.0,
    irrigation_mm: npt.ArrayLike = 0.0,
    irrigated_unknown: bool = False,
    initial_depletion_mm: npt.ArrayLike = np.nan,
    adjust_share: bool = False,
) -> WaterBalance:
    """Follow the depletion day by day; rain and ET0 (..., days) in mm, the rest broadcast to them.

    `total_available_mm` and `initial_depletion_mm` are scalars or have the leading axes. Ks is
    taken from the depletion at the day's start, which keeps wetter soil wetter, so an unknown start
    (NaN, the default), an unknown day or an unknown irrigation is followed as a lowest and a
    highest possible depletion. The depletion is known again when a soaking or a long drought has
    brought the two within AGREED_SHARE of TAW; until then it is NaN. `irrigated_unknown` means that
    any day may have been watered: then only soil wetted by rain alone is known to be wet.
    `adjust_share` applies `adjusted_depletion_share`. ValueError for TAW not above 0 or for a
    negative rain, irrigation or ET.
    """
    rain, et0, irrigation = np.broadcast_arrays(
        *(np.asarray(a, dtype=np.float64) for a in (rain_mm, reference_et_mm, irrigation_mm))
    )
    crop_et = et0 * np.asarray(crop_coefficient, dtype=np.float64)
    shape = np.broadcast_shapes(crop_et.shape, rain.shape)
    supply = np.broadcast_to(rain + irrigation, shape)
    crop_et = np.broadcast_to(crop_et, shape)
    lead = shape[:-1]
    taw = np.broadcast_to(np.asarray(total_available_mm, dtype=np.float64), lead)
    if np.any(taw <= 0.0):
        raise ValueError("total available water must be above 0 mm")
    for name, values in (("rain or irrigation", supply), ("evapotranspiration", crop_et)):
        if np.any(values < 0.0):
            raise ValueError(f"{name} must not be negative")
    share = np.asarray(depletion_share, dtype=np.float64)
    share = adjusted_depletion_share(share, crop_et) if adjust_share else share
    share = np.moveaxis(np.broadcast_to(share, shape), -1, 0)
    start = np.broadcast_to(np.asarray(initial_depletion_mm, dtype=np.float64), lead)
    low = np.where(np.isnan(start), 0.0, np.clip(start, 0.0, taw))
    high = np.where(np.isnan(start), taw, np.clip(start, 0.0, taw))
    by_day = (np.full(shape, np.nan) for _ in range(4))
    lows, highs, used, spilt = (np.moveaxis(a, -1, 0) for a in by_day)
    supply_by_day, et_by_day = np.moveaxis(supply, -1, 0), np.moveaxis(crop_et, -1, 0)
    for day, (water, demand, p) in enumerate(zip(supply_by_day, et_by_day, share, strict=True)):
        water_known, demand_known = ~np.isnan(water), ~np.isnan(demand)
        certain = water_known & demand_known & ~np.isnan(p)
        poured = np.where(water_known, water, 0.0)
        low_next, et_low, over_low = _step(low, poured, np.where(certain, demand, 0.0), p, taw)
        high_next, et_high, over_high = _step(high, poured, np.where(certain, demand, 0.0), p, taw)
        low_next = np.where(water_known & (not irrigated_unknown), low_next, 0.0)
        high_next = np.where(demand_known & ~np.isnan(p), high_next, taw)
        agreed = certain & (high - low < 1e-9) & (not irrigated_unknown)
        used[day] = np.where(agreed, (et_low + et_high) / 2.0, np.nan)
        spilt[day] = np.where(agreed, (over_low + over_high) / 2.0, np.nan)
        low, high = low_next, high_next
        lows[day], highs[day] = low, high
    lows, highs, used, spilt = (np.moveaxis(a, 0, -1) for a in (lows, highs, used, spilt))
    close = highs - lows <= AGREED_SHARE * taw[..., np.newaxis]
    depletion = np.where(close, (lows + highs) / 2.0, np.nan)
    available = 1.0 - depletion / taw[..., np.newaxis]
    return WaterBalance(depletion, available, lows, highs, used, spilt)


def _step(
    depletion: FloatArray, water: FloatArray, demand: FloatArray, p: FloatArray, taw: FloatArray
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """One day: (depletion at its end, actual ET, overflow)."""
    wanted = stress_coefficient(depletion, taw, p) * demand
    actual = np.minimum(wanted, taw - depletion + water)
    balance = depletion + actual - water
    return np.maximum(balance, 0.0), actual, np.maximum(-balance, 0.0)
