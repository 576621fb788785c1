"""The zones of a lawn as a water plan needs them: what they water, how fast, and what it wants."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from advisor.base.vocabularies import Slope
from advisor.cases.lawn import Lawn, Part
from advisor.planning.soak import intake_rate
from advisor.planning.water_stages import SEED_DAYS
from advisor.site.record import Zone

SOWINGS = ("overseeding", "new_seeding", "spring_seeding", "rye_overseeding", "patch_repair")
NO_WATER = {
    "wait": "grown turf hardly drinks yet",
    "missed": "grown turf hardly drinks any more",
    "ruled_out": "watering is ruled out",
    "hold": "watering is on hold",
}
"""Verdicts on watering grown turf under which the plan gives none."""


@dataclass(frozen=True)
class ZoneUse:
    """rate, intake: mm/h. sown: its last sowing that still has to come up. part: who decides."""

    name: str
    area_m2: float
    rate: float
    uniformity: float | None
    slope: Slope | None
    intake: float
    sown: dt.date | None
    part: Part


@dataclass(frozen=True)
class Left:
    """A zone that gets no place in the plan, and what to do about it."""

    zone: str
    why: str


def zones_of(
    lawn: Lawn, parts: tuple[Part, ...], on: dt.date, sown: dt.date | None
) -> tuple[tuple[ZoneUse, ...], tuple[Left, ...]]:
    """The zones that can be planned, and those that cannot with the reason.

    sown: the day of a sowing not yet on record; it then counts for every zone.
    """
    found, left = [], []
    for zone in lawn.site.water.zones:
        if zone.precipitation_rate is None:
            left.append(Left(zone.name, "set out cans: 'advisor waterplan cans' gives its rate"))
            continue
        part = next((p for p in parts if zone.areas and set(zone.areas) & set(p.areas)), parts[0])
        day = sown or _last_sowing(lawn, zone, on)
        if day is None:
            verdict = part.decider.decide("watering").verdict
            if verdict in NO_WATER:
                why = f"{NO_WATER[verdict]}; 'advisor ask' says why"
                left.append(Left(zone.name, why))
                continue
        slope = _steepest(lawn, zone)
        texture = lawn.site.soil.texture
        intake = intake_rate(texture, slope)
        rate, even = zone.precipitation_rate, zone.uniformity
        size = _size(lawn, zone)
        found.append(ZoneUse(zone.name, size, rate, even, slope, intake, day, part))
    return tuple(found), tuple(left)


def _names(lawn: Lawn, zone: Zone) -> tuple[str, ...]:
    return tuple(zone.areas or (area.name for area in lawn.site.areas))


def _size(lawn: Lawn, zone: Zone) -> float:
    """m²: an area that several zones water is shared evenly among them."""
    zones = lawn.site.water.zones
    total = 0.0
    for name in _names(lawn, zone):
        shared = sum(1 for other in zones if name in _names(lawn, other))
        total += lawn.site.area(name).size / shared
    return total


def _steepest(lawn: Lawn, zone: Zone) -> Slope:
    slopes = {lawn.site.area(name).slope for name in _names(lawn, zone)}
    if "steep" in slopes:
        return "steep"
    return "flat" if slopes == {"flat"} else "gentle"


def _last_sowing(lawn: Lawn, zone: Zone, on: dt.date) -> dt.date | None:
    """The latest sowing on record that is at most a month old."""
    journal = lawn.journal.as_of(on)
    entries = (journal.last_done(work, name) for work in SOWINGS for name in _names(lawn, zone))
    days = [entry.date for entry in entries if entry is not None]
    latest = max(days, default=None)
    return latest if latest is not None and (on - latest).days <= SEED_DAYS else None
