"""Two rule books on one lawn: how far each window moved."""

from __future__ import annotations

from advisor.base.record import Record
from advisor.replay.run import Replay
from advisor.replay.tables import Key, Spread, WindowSummary, seasons_changed, summarise


class Moved(Record, frozen=True):
    """A window under both rule books; None where one of them lacks it.

    changed: seasons in which it opened, ended or stayed shut otherwise. opens, last, days: by how
    many days the medians moved, later and longer above 0; None where one of them has no median.
    never: by how many the seasons grew in which it did not open.
    """

    key: Key
    titles: tuple[str, str]
    before: WindowSummary | None
    after: WindowSummary | None
    changed: int
    opens: float | None
    last: float | None
    days: float | None
    never: int | None


def compare(before: Replay, after: Replay) -> tuple[Moved, ...]:
    """Every window of either, in the order of the first, then those that only the second has."""
    old, new = summarise(before.rows), summarise(after.rows)
    changed = seasons_changed(before.rows, after.rows)
    titles = {**after.titles, **before.titles}
    return tuple(
        _moved(key, titles[key], old.get(key), new.get(key), changed.get(key, 0))
        for key in dict.fromkeys((*old, *new))
    )


def _moved(
    key: Key,
    titles: tuple[str, str],
    before: WindowSummary | None,
    after: WindowSummary | None,
    changed: int,
) -> Moved:
    if before is None or after is None:
        return Moved(key, titles, before, after, changed, None, None, None, None)
    return Moved(
        key,
        titles,
        before,
        after,
        changed,
        opens=_by(before.opens, after.opens),
        last=_by(before.last, after.last),
        days=_by(before.days, after.days),
        never=after.never - before.never,
    )


def _by(before: Spread | None, after: Spread | None) -> float | None:
    return None if before is None or after is None else after[1] - before[1]
