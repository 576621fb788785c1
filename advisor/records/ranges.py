"""Ranges of plausible values, in words."""

from __future__ import annotations

from advisor.base.units import show


def say_range(unit: str, lowest: float | None, highest: float | None) -> str:
    """`0 in to 5 in (0 mm to 127 mm)`: a range in both unit systems, once if they agree."""
    said = dict.fromkeys(_one_system(unit, lowest, highest, us) for us in (True, False))
    first, *other = said
    return f"{first} ({other[0]})" if other else first


def _one_system(unit: str, lowest: float | None, highest: float | None, us: bool) -> str:
    low, high = (
        None if end is None else show(end, unit, "us" if us else "metric")
        for end in (lowest, highest)
    )
    if low is None:
        return f"at most {high}"
    return f"at least {low}" if high is None else f"{low} to {high}"
