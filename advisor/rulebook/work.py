"""What comes before and after a job: other jobs, later chances, things to see to ahead."""

from __future__ import annotations

from typing import Literal

from advisor.base.record import Record

CountsTo = Literal["opens", "work"]


class Order(Record, frozen=True):
    """What comes before and after when both are done."""

    after: tuple[str, ...] = ()
    before: tuple[str, ...] = ()


class Later(Record, frozen=True):
    """Where to turn when the window is over."""

    operation: str
    says: str


class Lead(Record, frozen=True):
    """Something to see to beforehand.

    before: days ahead of the window's opening (`counts_to` opens) or of the day for the work. job:
    the operation whose work it is, if any; where that speaks for itself the lead is not told.
    """

    id: str
    says: str
    before: int
    counts_to: CountsTo
    evidence: tuple[str, ...] = ()
    job: str = ""
