"""A job that is not for a grass, as an operation that says so."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.base.record import replace
from advisor.rulebook.conditions import Leaf
from advisor.rulebook.model import Operation


def not_for(operation: Operation, grass: str, suited: Iterable[str]) -> Operation:
    """The operation without need or season, so that it comes to "not needed" on this grass.

    grass: the title of the lawn's grass; suited: the titles of the grasses that the job is for.
    """
    why = f"it is not done on {grass}; the rules here are for {', '.join(suited)}"
    never = Leaf("season_type", "known", False, otherwise=why, path="need")
    return replace(operation, need=never, windows=(), conflicts=(), advice=(), later=(), leads=())
