"""One reckoned amount, and one thing to get, each with the steps that lead to it."""

from __future__ import annotations

from typing import Literal

from advisor.base.record import Record
from advisor.rulebook.evidence import Evidence

Basis = Literal["label", "records", "machine", "general"]
"""What an amount rests on: the keeper's label, the keeper's own records, the machine that does it,
or a rate that holds for any lawn."""


class Amount(Record, frozen=True):
    """What one job takes on one part of the lawn.

    low, high: in `unit`, the keeper's. says: the amount in words. basis: what it rests on. cap:
    what held it down. steps: the calculation, to be checked by hand. notes: what else to know
    before buying or spreading.
    """

    name: str
    low: float
    high: float
    unit: str
    says: str
    basis: Basis = "general"
    cap: str = ""
    steps: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    evidence: tuple[Evidence, ...] = ()


class Wish(Record, frozen=True):
    """What a job asks to be bought.

    product: what it is. job: for what, such as `overseeding, front`. needed: kg, or L for
    topdressing. bag: size of one, None where it is not known; price: of one. loose: sold by volume
    without a bag. label: what the label says that should be heard before paying. sure: whether the
    job is known to be needed.
    """

    product: str
    job: str
    needed: float
    dimension: str
    bag: float | None = None
    price: float | None = None
    loose: bool = False
    label: tuple[str, ...] = ()
    keeps: str = ""
    sure: bool = True
    safety: tuple[str, ...] = ()
