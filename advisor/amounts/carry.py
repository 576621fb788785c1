"""What to say beside a heavy bag."""

from __future__ import annotations

from advisor.amounts.lifting import FROM_A_TAILGATE, FROM_THE_FLOOR, recommended_limit
from advisor.amounts.say import mass
from advisor.base.units import System


def lifting_note(bag_kg: float, units: System) -> str:
    """A warning for a bag that is over the limit for one person; empty for a light one."""
    floor, waist = (recommended_limit(lift) for lift in (FROM_THE_FLOOR, FROM_A_TAILGATE))
    if bag_kg > waist:
        return (
            f"a bag of {mass(bag_kg, units)} is more than one person should lift even from waist "
            f"height ({mass(waist, units)}): two people, or open it and carry it in parts"
        )
    if bag_kg > floor:
        return (
            f"lift a bag of {mass(bag_kg, units)} from waist height, close to the body; from the "
            f"floor {mass(floor, units)} is enough for one person"
        )
    return ""
