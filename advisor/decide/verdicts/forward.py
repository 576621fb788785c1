"""Looking ahead: when what stands in the way goes away, other jobs' seasons, the last good day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from advisor.base.record import Record, replace
from advisor.decide.engine.plain import deciding_leaves, trace, truth
from advisor.decide.windows.interval import FALSE, TRUE, Series, TruthArray, truth_array
from advisor.decide.windows.outlook import Outlook
from advisor.decide.windows.tracks import Opening
from advisor.facts.day import Day
from advisor.facts.fact import Value, Vocabulary
from advisor.facts.spread_facts import SOWING
from advisor.facts.weather_facts import COMPUTED
from advisor.rulebook.conditions import Condition, Leaf, Truth, facts_of, leaves
from advisor.rulebook.model import Advice, Conflict, Operation, VerdictName
from advisor.signals.running import median

LOOK_AHEAD_DAYS = 60
LONGEST_WAIT_DAYS = 400


class Clears(Record, frozen=True):
    """When a gate that is false becomes true.

    on: the day by which it does in half of the years; None if it does so in fewer. chance: share
    of years in which it does within `LOOK_AHEAD_DAYS`, of those that can tell; None where none can,
    as without weather ahead. watch: facts that only the keeper can see change; the date counts on
    their having changed. free: the day from which in half of the years nothing that is known
    forbids it any more, whatever else is not known yet.
    """

    on: dt.date | None
    chance: float | None
    watch: tuple[str, ...]
    free: dt.date | None = None


def conflict_end(
    condition: Condition,
    on: dt.date,
    known: Mapping[str, Value | None],
    vocabulary: Vocabulary,
) -> dt.date | None:
    """The first day on which a condition that is true on `on` no longer is, by the calendar alone.

    known: the values of that day. Facts that grow or fall by one a day do so; all others stay. None
    if that takes too long.
    """
    moving = {
        name: 1.0 if vocabulary[name].moves == "up" else -1.0
        for name in facts_of(condition)
        if vocabulary[name].moves is not None
    }
    values = {name: known.get(name) for name in facts_of(condition)}
    for ahead in range(1, LONGEST_WAIT_DAYS):
        for name, step in moving.items():
            value = values.get(name)
            if isinstance(value, float):
                values[name] = value + step
        if truth(condition, values) is False:
            return on + dt.timedelta(days=ahead)
    return None


def clears(condition: Condition, day: Day, vocabulary: Vocabulary) -> Clears:
    """When a condition that is false now becomes true, from the weather of past years."""
    deciding = deciding_leaves(trace(condition, day.values(facts_of(condition))))
    watch = tuple(
        dict.fromkeys(
            found.leaf.fact
            for found in deciding
            if found.leaf.comparison != "known" and vocabulary[found.leaf.fact].varies == "record"
        )
    )
    if day.weather is None:
        return Clears(None, None, watch)
    replaceable = {leaf.fact for leaf in leaves(condition) if _asks_if_unknown(leaf)}
    granted = tuple(name for name in watch if name not in replaceable)
    series = _ahead(_granted(condition, granted), day, unknown=replaceable & set(watch))
    free = _by(series != FALSE, day.on)
    holds = series == TRUE
    reached = holds.any(axis=1)
    # A year in which a reading is missing tells nothing, least of all that the wait never ends.
    told = reached | (series == FALSE).all(axis=1)
    if not told.any():
        return Clears(None, None, watch, free)
    chance = float(reached[told].mean())
    return Clears(_by(holds[told], day.on), chance, watch, free)


def _by(holds: NDArray[np.bool_], on: dt.date) -> dt.date | None:
    """The day after `on` by which it holds in half of the years; None if in fewer.

    holds: years by days from tomorrow on.
    """
    reached = holds.any(axis=1)
    if reached.mean() < 0.5:
        return None
    first = np.where(reached, holds.argmax(axis=1), holds.shape[1])
    return on + dt.timedelta(days=1 + round(median(first)))


def _asks_if_unknown(leaf: Leaf) -> bool:
    """Whether the tree has another way to decide while this fact is unknown."""
    return leaf.comparison == "known" and leaf.limit is False


def _ahead(condition: Condition, day: Day, unknown: Collection[str]) -> TruthArray:
    """The tree's truth on each member from tomorrow on; some readings will have gone stale."""
    weather = day.weather
    assert weather is not None
    part = slice(weather.axis.today + 1, weather.axis.today + 1 + LOOK_AHEAD_DAYS)
    stated = facts_as_series(day.values(facts_of(condition) - COMPUTED))
    series: dict[str, Series | None] = {
        name: weather.series(name)[:, part]
        if name in COMPUTED
        else None
        if name in unknown
        else stated.get(name)
        for name in facts_of(condition)
    }
    members, days = weather.series("day_length")[:, part].shape
    return truth_array(condition, series, (members, days))


def _granted(condition: Condition, watch: tuple[str, ...]) -> Condition:
    """The tree as if the keeper's own observations no longer stood in the way."""
    if isinstance(condition, Leaf):
        if condition.fact in watch:
            return Leaf("day_length", "known", True, path=condition.path)
        return condition
    return replace(condition, parts=tuple(_granted(part, watch) for part in condition.parts))


def facts_as_series(values: Mapping[str, Value | None]) -> dict[str, Series | None]:
    """Scalar facts for the array reader: flags as 0 and 1."""
    return {n: float(v) if isinstance(v, bool) else v for n, v in values.items()}


class Later(Record, frozen=True):
    """An opening to come, of this operation or of one that stands in for it, and its price."""

    operation: str
    opening: Opening
    says: str


def days_to(seen: Outlook, on: dt.date) -> float | None:
    """Days until a job may next be done, 0 while it may; None where nobody can tell.

    Counted to the middle of its openings over the years of the record.
    """
    if seen.state == "open":
        return 0.0
    opening = seen.current if seen.state == "before" else next(iter(seen.later), None)
    return None if opening is None else float(max((opening.opens.p50 - on).days, 0))


def reaches(wait: Value | None, away: float | None) -> bool | None:
    """Whether a wait of so many days, begun today, lasts into a season so many days away."""
    if not isinstance(wait, float):
        return None
    if wait == 0:
        return False
    return None if away is None else away < wait


class End(Record, frozen=True):
    """The day on which a conflict ends. sure: False where it may be any later day."""

    day: dt.date
    sure: bool = True


def gives_way_until(
    conflict: Conflict, operation: Operation, values: Mapping[str, Value | None], on: dt.date
) -> End | None:
    """The first day after a job that comes first, if that is done on the first day of its season.

    None unless the conflict gives way to one planned job (`days_to`) whose season can be told. The
    wait after that job, where there is one, is counted; new seed may bar the work for longer than
    the calendar can tell, until it was mown so many times.
    """
    planned = [n for n in facts_of(conflict.when) if n.startswith("days_to.")]
    away = values.get(planned[0]) if len(planned) == 1 else None
    if not isinstance(away, float):
        return None
    job = planned[0].partition(".")[2]
    since = f"days_since.{job}"
    waits = [
        float(leaf.limit)
        for other in operation.conflicts
        for leaf in leaves(other.when)
        if leaf.fact == since and leaf.comparison == "under" and isinstance(leaf.limit, float)
    ]
    day = on + dt.timedelta(days=round(away + max(waits, default=0.0)) + 1)
    barred = any("seed_age" in facts_of(other.when) for other in operation.conflicts)
    return End(day, sure=not (barred and job.endswith(SOWING)))


def ends_of(
    binding: Iterable[Conflict],
    operation: Operation,
    values: Mapping[str, Value | None],
    on: dt.date,
    vocabulary: Vocabulary,
) -> End | None:
    """When the last of the conflicts ends; None if one has no end in sight, or there is none."""
    ends = []
    for conflict in binding:
        end = gives_way_until(conflict, operation, values, on)
        if end is None and (day := conflict_end(conflict.when, on, values, vocabulary)):
            end = End(day)
        if end is None:
            return None
        ends.append(end)
    if not ends:
        return None
    return End(max(end.day for end in ends), sure=all(end.sure for end in ends))


def lasts(ends: End | None, seen: Outlook) -> Truth:
    """Whether conflicts that end so bind until the season that is open or to come is over."""
    if ends is None:
        return True
    if seen.state not in ("open", "before") or seen.whole is None:
        return None
    return ends.day > seen.whole.closes.p50


Grade = Literal["best", "possible"]


def graded(verdict: VerdictName, seen: Outlook, close: tuple[Leaf, ...]) -> Grade | None:
    if verdict != "do":
        return None
    return "best" if seen.best and not close else "possible"


def last_good_day(seen: Outlook, on: dt.date) -> dt.date | None:
    """The day before which the window closes in only one year of ten, or the best guess after."""
    if seen.current is None or seen.current.all_year:
        return None
    closes = seen.current.closes
    return next((day for day in (closes.p10, closes.p50, closes.p90) if day >= on), on)


def applies(advice: Advice, verdict: VerdictName, values: Mapping[str, Value | None]) -> bool:
    if verdict not in advice.verdicts:
        return False
    return advice.when is None or truth(advice.when, values) is True
