"""Cycle and soak: how long a zone may run before water runs off, and how long it then rests."""

from __future__ import annotations

import math

from advisor.base.record import Record
from advisor.base.units import whole_down, whole_up
from advisor.base.vocabularies import Slope, Texture, complete

IN = 25.4
INTAKE_RANGES: dict[str, tuple[float, float]] = {
    "coarse": (0.5 * IN, 1.0 * IN),
    "sandy_loam": (IN / 3, 0.75 * IN),
    "loamy": (0.25 * IN, 0.4 * IN),
    "clay_loam": (0.1 * IN, 0.25 * IN),
    "clay": (0.05 * IN, 0.1 * IN),
}
"""mm/h. Fine sand ½–1 in/h, fine sandy loam ⅓–¾, silt loam ¼–0.4, clay loam 0.1–¼ (H. Hansen and
W. Trimmer, Irrigation Runoff Control Strategies, PNW 287, 1997, Table 1); heavy clay under 0.1 in/h
(City of Chandler, Arizona), its lower end our own. Loam as silt loam."""
CLASS_OF: dict[Texture, str] = complete({
    "sand": "coarse", "loamy_sand": "coarse", "sandy_loam": "sandy_loam", "loam": "loamy",
    "silt_loam": "loamy", "silt": "loamy", "sandy_clay_loam": "clay_loam",
    "clay_loam": "clay_loam", "silty_clay_loam": "clay_loam", "sandy_clay": "clay",
    "silty_clay": "clay", "clay": "clay",
}, Texture)  # fmt: skip
"""Texture class to row of the table (chosen where the table has no row of that name)."""
PUDDLE_MM: dict[Slope, float] = complete({"flat": 5.0, "gentle": 2.5, "steep": 1.0}, Slope)
"""What grass and hollows hold before water starts to run (from memory; the eye corrects it)."""
LEAST_REST = 30
"""Minutes: Texas lets it soak 30 to 45 minutes; an Arizona city at least 30."""


class Cycles(Record, frozen=True):
    """minutes: of each run. rest: minutes from the end of one to the start of the next."""

    minutes: tuple[int, ...]
    rest: int

    @property
    def total(self) -> int:
        return sum(self.minutes)


def intake_rate(texture: Texture | None, slope: Slope | None) -> float:
    """mm/h that the soil takes in once it is wet: the cautious side of the published range.

    The middle of the range on the flat, its lower end on a gentle slope or where the slope is not
    known, half of that on a steep one (chosen: no source read gives a factor for slope). Unknown
    texture: as clay loam.
    """
    low, high = INTAKE_RANGES[CLASS_OF[texture or "clay_loam"]]
    if slope == "flat":
        return (low + high) / 2
    return low / 2 if slope == "steep" else low


def longest_run(rate: float, intake: float, slope: Slope | None) -> float:
    """Minutes until water runs off: what comes faster than it sinks in fills the hollows first."""
    if rate <= intake:
        return math.inf
    return PUDDLE_MM[slope or "gentle"] / (rate - intake) * 60


def split(total: int, rate: float, intake: float, slope: Slope | None) -> Cycles:
    """Whole minutes cut into even cycles, none longer than the soil takes in.

    The rest lets the puddles sink in: at least half an hour. Raises `ValueError` where not even a
    minute would soak in.
    """
    if total <= 0:
        return Cycles((), 0)
    longest = longest_run(rate, intake, slope)
    if longest >= total:
        return Cycles((total,), 0)
    if longest < 1:
        raise ValueError("its sprinklers give more in a minute than the ground takes in")
    count = math.ceil(total / whole_down(longest))
    each, over = divmod(total, count)
    minutes = tuple(each + (1 if i < over else 0) for i in range(count))
    standing = (rate - intake) * max(minutes) / 60
    return Cycles(minutes, max(LEAST_REST, whole_up(standing / intake * 60)))
