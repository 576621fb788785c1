"""A fact: one named value on one day, and where it comes from."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from advisor.base.record import Record

Value = float | bool | str
Basis = Literal["measured", "recorded", "stated", "computed", "assumed"]


class Fact(Record, frozen=True):
    """`value` is in the fact's canonical unit; None means unknown.

    basis: *measured* by the keeper, *recorded* as work done, *stated* in the site file, *computed*
    from weather and place, or *assumed* (a default that the answer must show as such).
    on: the day the value was observed, or the last day of weather behind it.
    note: why it is unknown or how it was obtained, as a short clause.
    """

    name: str
    value: Value | None
    basis: Basis
    on: dt.date | None = None
    note: str = ""
