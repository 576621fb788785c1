"""The zones of a lawn as a water plan needs them: what they water, how fast, and what it wants."""

from __future__ import annotations

import datetime as dt

from advisor.base.commands import command
from advisor.base.record import Record
from advisor.base.vocabularies import Slope
from advisor.cases.case import Case
from advisor.cases.parts import Part
from advisor.planning.cycle_soak import intake_rate
from advisor.planning.water_stages import SEED_DAYS
from advisor.records.kept import SOWINGS
from advisor.records.record import Zone

_CAUGHT = command("waterplan", "cans", "5 mm", "7 mm", "6 mm", "6 mm", "--minutes", "15")
SET_OUT_CANS = f"set out cans; what each caught gives its rate, as in '{_CAUGHT}'"
"""What to do about a zone of unknown rate."""
NO_WATER = {
    "wait": "grown turf hardly drinks yet",
    "missed": "grown turf hardly drinks any more",
    "ruled_out": "watering is ruled out",
    "hold": "watering is on hold",
}
"""Verdicts on watering grown turf under which the plan gives none."""


class ZoneUse(Record, frozen=True):
    """rate, intake: mm/h. sown: its last sowing that still has to come up. part: who decides."""

    name: str
    area_m2: float
    rate: float
    uniformity: float | None
    slope: Slope | None
    intake: float
    sown: dt.date | None
    part: Part


class Left(Record, frozen=True):
    """A zone that gets no place in the plan, and what to do about it."""

    zone: str
    why: str


def zones_of(
    case: Case, parts: tuple[Part, ...], sown: dt.date | None
) -> tuple[tuple[ZoneUse, ...], tuple[Left, ...]]:
    """The zones that can be planned, and those that cannot with the reason.

    sown: the day of a sowing not yet on record; it then counts for every zone.
    """
    found, left = [], []
    for zone in case.site.water.zones:
        if zone.precipitation_rate is None:
            left.append(Left(zone.name, SET_OUT_CANS))
            continue
        part = next((p for p in parts if zone.areas and set(zone.areas) & set(p.areas)), parts[0])
        day = sown or _last_sowing(case, zone)
        if day is None:
            verdict = part.decider.decide("watering").verdict
            if verdict in NO_WATER:
                why, ask = NO_WATER[verdict], case.command("ask", "should I water")
                left.append(Left(zone.name, f"{why}; '{ask}' says why" if ask else why))
                continue
        slope = _steepest(case, zone)
        texture = case.site.soil.texture
        intake = intake_rate(texture, slope)
        rate, even = zone.precipitation_rate, zone.uniformity
        size = _size(case, zone)
        if size is None:
            left.append(Left(zone.name, "say how big its areas are"))
            continue
        found.append(ZoneUse(zone.name, size, rate, even, slope, intake, day, part))
    return tuple(found), tuple(left)


def _names(case: Case, zone: Zone) -> tuple[str, ...]:
    return tuple(zone.areas or (area.name for area in case.site.areas))


def _size(case: Case, zone: Zone) -> float | None:
    """m², if that is known: an area that several zones water is shared evenly among them."""
    zones = case.site.water.zones
    total = 0.0
    for name in _names(case, zone):
        shared = sum(1 for other in zones if name in _names(case, other))
        size = case.site.area(name).size
        if size is None:
            return None
        total += size / shared
    return total


def _steepest(case: Case, zone: Zone) -> Slope:
    slopes = {case.site.area(name).slope for name in _names(case, zone)}
    if "steep" in slopes:
        return "steep"
    return "flat" if slopes == {"flat"} else "gentle"


def _last_sowing(case: Case, zone: Zone) -> dt.date | None:
    """The latest sowing on record that is at most a month old."""
    journal = case.journal.as_of(case.on)
    entries = (journal.last_done(work, name) for work in SOWINGS for name in _names(case, zone))
    days = [entry.date for entry in entries if entry is not None]
    latest = max(days, default=None)
    return latest if latest is not None and (case.on - latest).days <= SEED_DAYS else None
