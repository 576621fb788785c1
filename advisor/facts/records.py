"""Facts from the journal: the newest reading that still counts, work done, wishes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.facts.fact import Fact, Value
from advisor.facts.vocabulary import FactDefinition, Vocabulary
from advisor.site.entry import Entry
from advisor.site.journal import Journal

AGREE_MM = 6.0
"""Two thatch readings agree within this much (¼ in, chosen from memory of how plugs vary)."""


def record_facts(
    journal: Journal, vocabulary: Vocabulary, area: str | None, on: dt.date
) -> dict[str, Fact]:
    """One fact for every record fact of the vocabulary; unknown ones say why in their note.

    `journal` must be as of `on`. A reading is void when it is older than the fact allows, or was
    taken before work that changed what it measured.
    """
    found: dict[str, Fact] = {}
    for definition in (vocabulary[name] for name in vocabulary):
        if definition.varies != "record":
            continue
        family, _, operation = definition.name.partition(".")
        if family == "days_since":
            found[definition.name] = _days_since(definition, journal, operation, area, on)
        elif family == "wanted":
            found[definition.name] = _wish(definition, journal, operation, area, on)
        else:
            found[definition.name] = _reading(definition, journal, area, on)
    found["thatch_confirmed"] = _confirmed(vocabulary["thatch_depth"], journal, area, on)
    return found


def valid_readings(
    definition: FactDefinition, journal: Journal, area: str | None, on: dt.date
) -> Iterator[Entry]:
    """The readings of a fact that still count, oldest first."""
    changed = _last_change(definition.invalidated_by, journal, area)
    for entry in journal.observations(definition.name, area):
        stale = definition.stale_after is not None and _age(entry, on) > definition.stale_after
        if not stale and (changed is None or entry.date > changed):
            yield entry


def _reading(definition: FactDefinition, journal: Journal, area: str | None, on: dt.date) -> Fact:
    valid = tuple(valid_readings(definition, journal, area, on))
    if valid:
        return Fact(definition.name, _value(valid[-1]), "measured", valid[-1].date)
    last = journal.latest(definition.name, area)
    note = "no record"
    if last is not None:
        changed = _last_change(definition.invalidated_by, journal, area)
        voided = changed is not None and last.date <= changed
        why = "work since then has changed it" if voided else f"{_age(last, on)} days old"
        note = f"the last reading, {last.date}, no longer counts: {why}"
    return Fact(definition.name, None, "measured", None, note)


def _days_since(
    definition: FactDefinition, journal: Journal, operation: str, area: str | None, on: dt.date
) -> Fact:
    last = journal.last_done(operation, area)
    if last is None:
        return Fact(definition.name, None, "recorded", None, "never recorded")
    return Fact(definition.name, float(_age(last, on)), "recorded", last.date)


def _wish(
    definition: FactDefinition, journal: Journal, operation: str, area: str | None, on: dt.date
) -> Fact:
    stale = definition.stale_after
    since = on - dt.timedelta(days=stale) if stale is not None else None
    wish = journal.wishes(area, since).get(operation)
    if wish is None:
        return Fact(definition.name, None, "stated", None, "no wish recorded")
    return Fact(definition.name, bool(wish.value), "stated", wish.date)


def _confirmed(thatch: FactDefinition, journal: Journal, area: str | None, on: dt.date) -> Fact:
    """True when readings of two days agree. One reading, or two that differ, leave it unknown."""
    readings = tuple(valid_readings(thatch, journal, area, on))
    name = "thatch_confirmed"
    if not readings:
        return Fact(name, None, "measured", None, "no thatch reading yet")
    last = readings[-1]
    others = [r for r in readings if r.date != last.date]
    if any(abs(_number(r) - _number(last)) <= AGREE_MM for r in others):
        return Fact(name, True, "measured", last.date)
    note = "readings of different days differ" if others else "only one day's reading"
    return Fact(name, None, "measured", last.date, note)


def _last_change(operations: Iterable[str], journal: Journal, area: str | None) -> dt.date | None:
    done = (journal.last_done(operation, area) for operation in operations)
    return max((entry.date for entry in done if entry is not None), default=None)


def _age(entry: Entry, on: dt.date) -> int:
    return (on - entry.date).days


def _value(entry: Entry) -> Value | None:
    value = entry.value
    return float(value.toordinal()) if isinstance(value, dt.date) else value


def _number(entry: Entry) -> float:
    assert isinstance(entry.value, float)
    return entry.value
