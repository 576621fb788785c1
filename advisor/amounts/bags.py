"""Bags and barrows: how many to get, and how often one goes with them."""

from __future__ import annotations

from advisor.amounts.amount import mass
from advisor.amounts.lifting import FROM_A_TAILGATE, FROM_THE_FLOOR, recommended_limit
from advisor.base.record import Record
from advisor.base.units import System, whole_up


class Bags(Record, frozen=True):
    """count of bags of `size`; left over in the unit of the size; cost None without a price."""

    count: int
    size: float
    left: float
    cost: float | None


def bags_for(needed: float, size: float, price: float | None = None, slack: float = 0.0) -> Bags:
    """Rounded up, as shops sell no part of a bag.

    slack: share of the need that may stay short, for loose material, whose layer is no more exact.
    Raises `ValueError` for a size of nothing."""
    if size <= 0:
        raise ValueError("a bag holds something")
    count = whole_up(needed * (1 - slack) / size)
    left = max(count * size - needed, 0.0)
    return Bags(count, size, left, None if price is None else count * price)


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
