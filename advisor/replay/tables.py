"""Season rows summed up for each window, by data frames. The only module that knows pandas here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np
import pandas as pd

from advisor.base.record import Record, asdict
from advisor.decide.windows.tracks import MOST_OF_A_WEEK
from advisor.replay.seasons import SeasonRow

WEEKS = 53
"""At least so many are counted, from midsummer day on; more where a window lasts longer."""
QUANTILES = (0.1, 0.5, 0.9)
_KEY = ["operation", "window"]
_COLUMNS = list(SeasonRow.__struct_fields__)

Key = tuple[str, str]
Spread = tuple[float, float, float]
Counts = tuple[tuple[str, int], ...]


class WindowSummary(Record, frozen=True):
    """A window over the season years of a record.

    years: seasons that can tell; opened + never. opens, last: 10, 50 and 90 % points, days after
    midsummer; days: of the days open, all over the years in which it opened, None if in none.
    opened_by, ended_by, kept_shut_by: (comparison, years), most frequent first. weeks: share of
    the years in which most of each week was open; NaN without a year.
    """

    operation: str
    window: str
    years: int
    opened: int
    never: int
    not_known: int
    opens: Spread | None
    last: Spread | None
    days: Spread | None
    opened_by: Counts
    ended_by: Counts
    kept_shut_by: Counts
    weeks: tuple[float, ...]


def summarise(rows: Iterable[SeasonRow]) -> dict[Key, WindowSummary]:
    """One summary for each (operation, window), in the order of the rows."""
    frame = _frame(rows)
    return {key: _summary(key, part) for key, part in _groups(frame)}


def seasons_changed(before: Iterable[SeasonRow], after: Iterable[SeasonRow]) -> dict[Key, int]:
    """In how many seasons a window that both have opened, ended or stayed shut otherwise."""
    both = _frame(before).merge(_frame(after), on=[*_KEY, "season"], suffixes=("", "_after"))
    changed = pd.Series(False, index=both.index)
    for column in ("state", "opens", "last"):
        old, new = both[column], both[f"{column}_after"]
        changed |= (old != new) & ~(old.isna() & new.isna())
    both["changed"] = changed
    return {key: int(part["changed"].sum()) for key, part in _groups(both)}


def _frame(rows: Iterable[SeasonRow]) -> pd.DataFrame:
    return pd.DataFrame([asdict(row) for row in rows], columns=_COLUMNS)


def _groups(frame: pd.DataFrame) -> Iterator[tuple[Key, pd.DataFrame]]:
    for (operation, window), part in frame.groupby(_KEY, sort=False):
        yield (str(operation), str(window)), part


def _summary(key: Key, part: pd.DataFrame) -> WindowSummary:
    opened = part[part["state"] == "opened"]
    states = part["state"].value_counts()
    known = int(len(part) - states.get("not known", 0))
    return WindowSummary(
        operation=key[0],
        window=key[1],
        years=known,
        opened=len(opened),
        never=int(states.get("never", 0)),
        not_known=len(part) - known,
        opens=_spread(opened["opens"]),
        last=_spread(opened["last"]),
        days=_spread(opened["days"]),
        opened_by=_counts(part["opened_by"]),
        ended_by=_counts(part["ended_by"]),
        kept_shut_by=_counts(part["kept_shut_by"]),
        weeks=_weeks(opened, known),
    )


def _spread(values: pd.Series) -> Spread | None:
    if values.empty:
        return None
    low, middle, high = values.astype("float64").quantile(list(QUANTILES))
    return float(low), float(middle), float(high)


def _counts(reasons: pd.Series) -> Counts:
    counted = reasons.explode().dropna().value_counts()
    ranked = sorted(counted.items(), key=lambda item: (-int(item[1]), str(item[0])))
    return tuple((str(reason), int(count)) for reason, count in ranked)


def _weeks(opened: pd.DataFrame, years: int) -> tuple[float, ...]:
    if not years:
        return (float("nan"),) * WEEKS
    first = opened["opens"].to_numpy(dtype="float64")[:, None]
    last = opened["last"].to_numpy(dtype="float64")[:, None]
    starts = 7 * np.arange(max(WEEKS, int(last.max(initial=0.0)) // 7 + 1))
    days = np.minimum(last + 1, starts + 7) - np.maximum(first, starts)
    shares = (days >= MOST_OF_A_WEEK).sum(axis=0) / years
    return tuple(float(share) for share in shares)
