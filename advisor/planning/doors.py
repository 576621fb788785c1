"""What a hired machine takes from door to door, and when it can be fetched and brought back."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.base.record import Record
from advisor.base.units import whole_up
from advisor.planning.hands import STEP_MIN, Spans
from advisor.rulebook.effort import Machine

ERRAND_MET = 3.0
"""Effort of an errand: a drive takes about 2, loading and cleaning 3 to 4 (from memory)."""


class Door(Record, frozen=True):
    """Minutes: to fetch it (there and back), to learn it, to load it for the way back, to clean it,
    to return it (there and back). pair: loading takes two people."""

    fetch: float
    learn: float
    load: float
    clean: float
    bring_back: float
    pair: bool = False


def door_of(machine: Machine, others: Iterable[Machine]) -> Door:
    """As the rule file has it. For one that is seldom hired the least that any of the others
    takes, which is not too much."""
    known = [machine] if machine.fetch_min else [one for one in others if one.fetch_min]

    def least(name: str) -> float:
        return min((float(getattr(one, name)) for one in known), default=0.0)

    return Door(
        least("fetch_min"), least("learn_min"), least("load_min"), least("clean_min"),
        least("return_min"), machine.second,
    )  # fmt: skip


class Way(Record, frozen=True):
    """A way to the shop. minutes: of all of it. at_shop: minutes after its start at which one is
    there. pair: whether loading takes two people."""

    minutes: int
    at_shop: int
    pair: bool


def fetching(doors: Iterable[Door]) -> Way:
    """One drive for all of the machines, then each is learnt; the shop lies half-way."""
    each = tuple(doors)
    drive = max(door.fetch for door in each)
    length = drive + sum(door.learn for door in each)
    return Way(_whole(length), round(drive / 2), any(door.pair for door in each))


def bringing_back(doors: Iterable[Door]) -> Way:
    """Each is cleaned and loaded, then one drive for all; the shop lies half-way."""
    each = tuple(doors)
    drive = max(door.bring_back for door in each)
    length = _whole(drive + sum(door.clean + door.load for door in each))
    return Way(length, length - round(drive / 2), any(door.pair for door in each))


def starts(way: Way, shop: Spans | None) -> Spans | None:
    """Between which minutes a way may start for the shop to be open; None: at any time."""
    if shop is None:
        return None
    return tuple((opens - way.at_shop, closes - way.at_shop) for opens, closes in shop)


def _whole(minutes: float) -> int:
    return STEP_MIN * whole_up(minutes / STEP_MIN)
