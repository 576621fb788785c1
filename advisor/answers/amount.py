"""One amount that a job takes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Amount:
    """low and high in `unit`; steps: the calculation in words; evidence: ids in the operation."""

    name: str
    low: float
    high: float
    unit: str
    says: str
    steps: str
    evidence: tuple[str, ...] = ()
