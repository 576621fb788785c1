"""What is no longer as it was said before: the one place that decides whether a change is told."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping

from advisor.advice.item import Item
from advisor.base.record import Record
from advisor.records.kept import Earlier, Edge, Said

WORTH_SAYING_DAYS = 4
"""A date that moves by less is noise."""
ANOTHER_SEASON_DAYS = 100
"""A date that moves by more is another season's."""


class Change(Record, frozen=True):
    """An item that is told otherwise than before: another verdict, or its season has moved.

    edge, days: which end of the season, and by how many days it is later.
    """

    item: Item
    before: Said
    edge: Edge | None = None
    days: int = 0


def difference(items: Iterable[Item], earlier: Earlier) -> tuple[Change, ...]:
    """The changes that are worth telling. Care that goes on changes weekly and is left out."""
    found = []
    for item in items:
        before = earlier.get(item.key)
        if before is None or item.operation.routine:
            continue
        if before.verdict != item.verdict:
            found.append(Change(item, before))
        elif change := _moved(item, before):
            found.append(change)
    return tuple(found)


def worth_saying(days: int) -> bool:
    """Whether a shift by so many days is told, and is no other season's date."""
    return WORTH_SAYING_DAYS <= abs(days) < ANOTHER_SEASON_DAYS


def _moved(item: Item, before: Said) -> Change | None:
    edges: Mapping[str, Edge] = {"wait": "opens", "do": "closes"}
    edge, current = edges.get(item.verdict), item.decision.outlook.current
    if edge is None or edge not in before.edges or current is None:
        return None
    whole = item.decision.outlook.whole
    if whole is not None and current.opens != whole.opens:
        # It waits for what stands in its way, not for the season.
        return None
    day: dt.date = getattr(current, edge).p50
    days = (day - before.edges[edge]).days
    return Change(item, before, edge, days) if worth_saying(days) else None
