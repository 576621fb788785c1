"""Daily water balance of the turf's root zone (FAO-56 ch. 8: Allen et al. 1998).

    D(t) = D(t-1) + Ks Kc ET0 - rain - irrigation + overflow,   0 <= D <= TAW

D is the depletion, mm below field capacity. Rain and irrigation that the root zone cannot hold
leave as overflow: deep percolation and run-off together, which a daily balance cannot tell apart.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from advisor.base.record import Record
from advisor.base.vocabularies import SeasonType, Texture, complete
from advisor.signals.running import FloatArray

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


AGREED_SHARE = 0.05
"""Chosen: the depletion counts as known once its bounds lie within this share of TAW."""


class WaterBalance(Record, frozen=True):
    """Each array (..., days), values at the day's end; NaN where unknown."""

    depletion_mm: FloatArray
    available_share: FloatArray
    """1 at field capacity, 0 at the wilting point."""
    lowest_depletion_mm: FloatArray
    highest_depletion_mm: FloatArray
    actual_et_mm: FloatArray
    overflow_mm: FloatArray


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
    share = np.broadcast_to(share, shape)
    start = np.broadcast_to(np.asarray(initial_depletion_mm, dtype=np.float64), lead)
    # In terms of what is left, W = TAW - D: one row for the driest, one for the wettest possible.
    unknown_start = np.isnan(start)
    wettest = np.where(unknown_start, taw, taw - np.clip(start, 0.0, taw))
    driest = np.where(unknown_start, 0.0, wettest)
    no_water = np.isnan(supply) | irrigated_unknown
    no_demand = np.isnan(crop_et) | np.isnan(share)
    limit = np.where(no_demand, 1.0, (1.0 - share) * taw[..., np.newaxis])
    pull = np.where(no_demand, 0.0, crop_et) / limit
    poured = np.where(np.isnan(supply), 0.0, supply)
    left = _follow(
        np.stack([driest, wettest]),
        poured,
        limit,
        pull,
        taw,
        reset_wet=no_water,
        reset_dry=no_demand,
    )
    start_of_day, end_of_day = left[..., :-1], left[..., 1:]
    certain = ~(no_water | no_demand) & (start_of_day[1] - start_of_day[0] < 1e-9)
    actual = np.minimum(np.minimum(start_of_day[0], limit) * pull, start_of_day[0] + poured)
    spilt = np.maximum(start_of_day[0] - actual + poured - taw[..., np.newaxis], 0.0)
    lowest, highest = taw[..., np.newaxis] - end_of_day[1], taw[..., np.newaxis] - end_of_day[0]
    close = highest - lowest <= AGREED_SHARE * taw[..., np.newaxis]
    depletion = np.where(close, (lowest + highest) / 2.0, np.nan)
    return WaterBalance(
        depletion_mm=depletion,
        available_share=1.0 - depletion / taw[..., np.newaxis],
        lowest_depletion_mm=lowest,
        highest_depletion_mm=highest,
        actual_et_mm=np.where(certain, actual, np.nan),
        overflow_mm=np.where(certain, spilt, np.nan),
    )


def _follow(
    left: FloatArray,
    poured: FloatArray,
    limit: FloatArray,
    pull: FloatArray,
    taw: FloatArray,
    *,
    reset_wet: npt.NDArray[np.bool_],
    reset_dry: npt.NDArray[np.bool_],
) -> FloatArray:
    """Water left, (2, ..., days + 1): the two bounds before the first day and after each day."""
    out = np.empty((poured.shape[-1] + 1, *left.shape))
    out[0] = left
    lead_axes = tuple(range(poured.ndim - 1))
    reset_on_day = np.asarray((reset_wet | reset_dry).any(axis=lead_axes))
    water, cap, rate = (np.moveaxis(a, -1, 0).copy() for a in (poured, limit, pull))
    for day in range(water.shape[0]):
        actual = np.minimum(left, cap[day])
        actual *= rate[day]
        gross = left + water[day]
        gross -= np.minimum(actual, gross)
        left = np.minimum(gross, taw, out=out[day + 1])
        if reset_on_day[day]:
            left[0] = np.where(reset_dry[..., day], 0.0, left[0])
            left[1] = np.where(reset_wet[..., day], taw, left[1])
    return np.moveaxis(out, 0, -1)
