"""What a job takes: hours, bags, and what is spread."""

from __future__ import annotations

from typing import Literal

from advisor.base.record import Record


class Effort(Record, frozen=True):
    """Hours and debris. Each pair is a range; minutes are for one person and 1,000 ft²."""

    minutes_per_1000_ft2: tuple[float, float]
    machine: str = ""
    debris_bags_per_1000_ft2: tuple[float, float] | None = None
    evidence: tuple[str, ...] = ()


class Spreads(Record, frozen=True):
    """What an operation spreads, and the most of it at a time, g/m²."""

    what: Literal["nitrogen", "lime"]
    most: float
    evidence: tuple[str, ...]
