"""What a hired machine takes from door to door, and when it can be fetched and brought back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from advisor.base.record import Record
from advisor.base.units import whole_up
from advisor.planning.hands import STEP_MIN, Spans


class Door(Record, frozen=True):
    """Minutes: to fetch it (there and back), to learn it, to load it for the way back, to clean it,
    to return it (there and back). pair: loading takes two people."""

    fetch: float
    learn: float
    load: float
    clean: float
    bring_back: float
    pair: bool = False


# To be replaced by the rule data of each machine (fetch_min, learn_min, ... in rules/work.yaml).
# All from memory: a shop a quarter of an hour away, ten minutes to learn the levers.
DOOR_TO_DOOR: Mapping[str, Door] = {
    "core_aerator": Door(30, 10, 10, 15, 30),
    "vertical_mower": Door(30, 10, 10, 15, 30),
    "mower": Door(30, 10, 5, 10, 30),
    "spreader": Door(30, 5, 5, 10, 30),
}
WITH_ENGINE = frozenset({"core_aerator", "vertical_mower", "mower"})
"""To be replaced with the rule data, too: the machines that are heard."""
ERRAND_MET = 3.0
"""Effort of an errand: a drive takes about 2, loading and cleaning 3 to 4 (from memory)."""


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
