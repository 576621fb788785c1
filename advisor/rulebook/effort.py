"""What a job takes: hours, bags, and what is spread."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True)
class Effort:
    """Hours and debris. Each pair is a range; minutes are for one person and 1,000 ft²."""

    minutes_per_1000_ft2: tuple[float, float]
    machine: str = ""
    debris_bags_per_1000_ft2: tuple[float, float] | None = None
    evidence: tuple[str, ...] = ()


@dataclass(frozen=True)
class Spreads:
    """What an operation spreads, and the most of it at a time, g/m²."""

    what: Literal["nitrogen", "lime"]
    most: float
    evidence: tuple[str, ...]
