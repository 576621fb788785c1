"""One job on one part of a lawn, as every view tells it."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Literal

from advisor.amounts.amount import Amount
from advisor.cases.lawn import Ground
from advisor.rulebook.conditions import Truth
from advisor.verdicts.decide import Decision

DateKind = Literal["deadline", "opening", "release"]
"""deadline: the cautious end. opening: when the season is expected to begin. release: when what
holds or forbids it ends. A routine has none."""


@dataclass(frozen=True)
class ItemDate:
    """The one date of an item, and what kind of date it is."""

    kind: DateKind
    day: dt.date


@dataclass(frozen=True)
class Season:
    """When the season opens (median), and when it closes: one year in ten by `closes_early`, half
    of the years by `closes`, nine in ten by `closes_late`."""

    opens: dt.date
    closes_early: dt.date
    closes: dt.date
    closes_late: dt.date


@dataclass(frozen=True)
class Item:
    """need: None if not known. wanted: whether plans, lists and calendars take it up. amounts: all
    that it takes, the time too; none where the size is not known. after: what is done before it."""

    decision: Decision
    ground: Ground
    need: Truth
    wanted: bool
    date: ItemDate | None
    season: Season | None
    amounts: tuple[Amount, ...]
    after: frozenset[str]

    def amount(self, name: str) -> Amount | None:
        """The amount of a name, such as `seed`."""
        return next((each for each in self.amounts if each.name == name), None)
