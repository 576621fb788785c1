"""Running a gate forward: when does what stands in the way go away?"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Mapping

import numpy as np
from numpy.typing import NDArray

from advisor.base.quantiles import median
from advisor.base.record import Record, replace
from advisor.engine.trace import deciding_leaves, trace, truth
from advisor.facts.day import Day
from advisor.facts.fact import Value
from advisor.facts.vocabulary import Vocabulary
from advisor.facts.weather_facts import COMPUTED
from advisor.rulebook.conditions import Condition, Leaf, facts_of, leaves
from advisor.windows.truth_arrays import FALSE, TRUE, Series, TruthArray, truth_array

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
