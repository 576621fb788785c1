"""The gates before work that could hurt somebody: reckoned here once, and shown by every view."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any, Literal

from advisor.advice.free_days import free_runs
from advisor.advice.item import Item
from advisor.base.dates import ONE_DAY
from advisor.base.record import Record
from advisor.base.working_days import working_days_before
from advisor.cases.case import Case
from advisor.decide.verdicts.decide import Decision
from advisor.facts.told_facts import valid_readings
from advisor.records.entry import Entry
from advisor.records.kept import WHOLE, KeptPlan
from advisor.rulebook.advice import GateRule
from advisor.rulebook.model import Operation, RuleBook

State = Literal["met", "open", "late"]

AHEAD_DAYS = 14
"""Dates further off than this can wait for a later digest."""
_LOOK_DAYS = 60


class Gate(Record, frozen=True):
    """One gate of one job on one part of the lawn, for one day of work.

    state: `met` by a record that still counts on the day of work; `open` while there is time to see
    to it; `late` when it can no longer be had by that day, which is then no day for this job. ask:
    what to do. operation, job: its id and title. area: empty for the whole lawn. by: the last day
    to see to it for this day of work. earliest: the first day of work if it is seen to today. days:
    how many it takes. met_on, counts_to: of the record that meets it.
    """

    rule: GateRule
    ask: str
    operation: str
    job: str
    area: str
    state: State
    work: dt.date
    by: dt.date
    earliest: dt.date
    days: int
    met_on: dt.date | None = None
    counts_to: dt.date | None = None


class Gates:
    """The gates of a lawn as they stand on a day."""

    def __init__(self, case: Case) -> None:
        self.case = case
        self.on = case.on
        self._journal = case.journal.as_of(case.on)
        self._earliest: dict[str, dt.date] = {}

    def of(self, operation: Operation, area: str, work: dt.date) -> tuple[Gate, ...]:
        """The gates of a job on a part of the lawn (empty: all of it) for one day of work."""
        return tuple(
            self._gate(rule, operation, area, work)
            for rule in gate_rules(operation, self.case.book)
        )

    def bars(self, operation: Operation, area: str, work: dt.date) -> bool:
        """Whether the part of a job that breaks the soil may have no hour on a day."""
        return any(gate.state == "late" for gate in self.of(operation, area, work))

    def next_day(
        self, operation: Operation, area: str, first: dt.date, last: dt.date
    ) -> dt.date | None:
        """The first free day of a span on which no gate bars the job."""
        for run in free_runs(
            self.case.site, self.case.limits, first, min(last, first + _LOOK_DAYS * ONE_DAY)
        ):
            for day in run.days:
                # A bridge day is free only if the keeper takes it off, so no date hangs on it.
                barred = day in run.bridges or day > last
                if not barred and not self.bars(operation, area, day):
                    return day
        return None

    def ahead(self, item: Item) -> tuple[Gate, ...]:
        """The gates of a job that is or may be wanted, for the day on which it will be done.

        That is the day of the plan that the keeper has settled on, else the first free day of its
        season for which there is time. Empty for a job that is not to be done, or breaks no soil.
        """
        if not gate_rules(item.operation, self.case.book) or item.off or item.verdict == "missed":
            return ()
        day = item.appointed or self._day_of_season(item.decision, item.part.label)
        return self.of(item.operation, item.part.label, day)

    def _day_of_season(self, decision: Decision, area: str) -> dt.date:
        current = decision.outlook.current
        first, last = self.on, self.on + _LOOK_DAYS * ONE_DAY
        if current is not None:
            first, last = max(current.opens.p50, first), current.closes.p50
        found = self.next_day(decision.operation, area, first, last)
        if found is not None:
            return found
        return max(first, *(g.earliest for g in self.of(decision.operation, area, first)))

    def _gate(self, rule: GateRule, operation: Operation, area: str, work: dt.date) -> Gate:
        place = self.case.site.place
        days = rule.days_ahead(place.country, place.subdivision)
        by = self._by(rule, days, work)
        records = [self._record(rule, name, work) for name in self._areas(area)]
        state: State = "open" if by >= self.on else "late"
        met_on = counts_to = None
        if all(records):
            state = "met"
            met_on = min(entry.date for entry, _ in filter(None, records))
            counts_to = min(until for _, until in filter(None, records))
        if rule.id not in self._earliest:
            self._earliest[rule.id] = self._first_day(rule, days)
        earliest = self._earliest[rule.id]
        ask = rule.asked(place.country)
        id, job = operation.id, operation.title
        return Gate(
            rule, ask, id, job, area, state, work, by, earliest, days, met_on, counts_to
        )  # fmt: skip

    def _by(self, rule: GateRule, days: int, work: dt.date) -> dt.date:
        place = self.case.site.place
        if rule.working_days:
            return working_days_before(work, days, place.country, place.subdivision)
        return work - days * ONE_DAY

    def _first_day(self, rule: GateRule, days: int) -> dt.date:
        day = self.on
        while self._by(rule, days, day) < self.on:
            day += ONE_DAY
        return day

    def _areas(self, label: str) -> tuple[str, ...]:
        return tuple(label.split(" and ")) if label else tuple(a.name for a in self.case.site.areas)

    def _record(self, rule: GateRule, area: str, work: dt.date) -> tuple[Entry, dt.date] | None:
        """What meets a gate on an area on the day of work, and until when it counts.

        Of each fact only the newest reading speaks: who notes that the flags are gone shuts it.
        """
        for name, wanted in rule.met_by.items():
            definition = self.case.book.vocabulary[name]
            readings = tuple(valid_readings(definition, self._journal, area, work))
            if readings and readings[-1].value is wanted and definition.stale_after is not None:
                until = readings[-1].date + round(definition.stale_after) * ONE_DAY
                return readings[-1], until
        return None


def gate_rules(operation: Operation, book: RuleBook) -> tuple[GateRule, ...]:
    """The gates that a job stands behind, whatever the day."""
    breaks = operation.breaks_soil
    if breaks is None:
        return ()
    return tuple(rule for rule in book.gates.values() if breaks.tool in rule.protects)


def gates_of_work(
    gates: Gates, kept: KeptPlan, day: dt.date, id: str, area: str
) -> tuple[Gate, ...]:
    """The gates of a job as a kept plan names it for a day; none for one without a rule file.

    They are those of the day on which the job begins: what cannot begin has no later hour either.
    """
    operation = gates.case.book.operations.get(id)
    begins = kept.begins(id, area, min(day, gates.on))
    if operation is None or begins is None:
        return ()
    return gates.of(operation, "" if area == WHOLE else area, begins)


def of_plan(gates: Gates, kept: KeptPlan | None) -> Iterator[Gate]:
    """The gates of the work that the keeper has settled on, from the day of `gates` on."""
    if kept is None:
        return
    ahead = [day for day in kept.days if day.date >= gates.on]
    for id, area in dict.fromkeys(work for day in ahead for work in day.work):
        yield from gates_of_work(gates, kept, gates.on, id, area)


def gate_json(gate: Gate) -> dict[str, Any]:
    """A gate as plain data; dates are ISO."""
    return {
        "gate": gate.rule.id,
        "state": gate.state,
        "operation": gate.operation,
        "area": gate.area,
        "work": gate.work.isoformat(),
        "by": gate.by.isoformat(),
        "earliest": gate.earliest.isoformat(),
        "days": gate.days,
        "working_days": gate.rule.working_days,
        "met_on": gate.met_on and gate.met_on.isoformat(),
        "counts_to": gate.counts_to and gate.counts_to.isoformat(),
        "ask": gate.ask,
        "note": gate.rule.note,
    }
