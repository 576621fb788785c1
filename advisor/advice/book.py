"""The advice for a lawn on a day: each item is made when it is first asked for, and never twice."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator
from functools import cached_property

from advisor.advice.dates import date_of, season_of, shut_out, starts, weight_of
from advisor.advice.gates import Gate, Gates
from advisor.advice.item import HEAVIEST_FIRST, Item, ItemDate, Season
from advisor.amounts.amount import Amount
from advisor.amounts.minutes import time_of
from advisor.amounts.reckon import Job, reckon
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.parts import Part, parts_on
from advisor.decide.verdicts.decide import Decision
from advisor.facts.axis import Basis
from advisor.records.kept import KeptPlan, is_on
from advisor.records.limits import is_barred
from advisor.rulebook.advice import Conflict
from advisor.rulebook.conditions import facts_of


class OfAdvice:
    """Of a record with a field `advice`: whose it is, and of which day."""

    advice: Advice

    @property
    def case(self) -> Case:
        return self.advice.case

    @property
    def on(self) -> dt.date:
        return self.advice.on


class Advice:
    """Everything is filled on demand, and the same whatever was asked first.

    parts: those of the lawn on the day, largest first, where they were decided already.
    """

    def __init__(self, case: Case, parts: tuple[Part, ...] | None = None) -> None:
        self.case = case
        self.on = case.on
        self._parts = parts
        self._items: dict[tuple[str, str, str], Item] = {}
        self._alone: dict[tuple[str, str, str], Item] = {}
        self._jobs: dict[tuple[str, str, str], Job] = {}

    @cached_property
    def parts(self) -> tuple[Part, ...]:
        return self._parts if self._parts is not None else parts_on(self.case)

    def items(self) -> tuple[Item, ...]:
        """Every job that is for the grass, part by part, in the order of the rule book."""
        return tuple(self.item(id, part) for part in self.parts for id in part.decider.operations())

    def taken_up(self) -> tuple[Item, ...]:
        """What plans, lists, free days and calendars take up."""
        return tuple(item for item in self.items() if item.taken_up)

    def item(self, id: str, part: Part) -> Item:
        """A job on a part of the lawn. Raises `KeyError` for one that has no rule file."""
        key = _key(id, part)
        if key not in self._items:
            self._items[key] = self._item(id, part)
        return self._items[key]

    def reckoned(self, item: Item) -> Job:
        """What the job takes and asks to be bought."""
        key = _key(item.operation.id, item.part)
        if key not in self._jobs:
            self._jobs[key] = reckon(self.case, item.decision, item.part.ground)
        return self._jobs[key]

    def amounts(self, item: Item) -> tuple[Amount, ...]:
        """What the job takes; nothing on ground of unknown size, or where it is out for good."""
        if not item.part.size_m2 or item.decision.for_good:
            return ()
        return self.reckoned(item).amounts

    @cached_property
    def plan(self) -> KeptPlan | None:
        """What the keeper has settled on, but for what has been shut out since (`dropped`)."""
        kept = self.case.plan
        return kept and kept.without(lambda *work: work in self.dropped)

    @cached_property
    def dropped(self) -> dict[tuple[dt.date, str, str], Part]:
        """The day, job and area of work that was settled on and is shut out now on all of its area,
        or on whose day nobody can work any more; with a part on which it is. What has been done
        since is done, and stays."""
        found: dict[tuple[dt.date, str, str], Part] = {}
        kept = self.case.plan
        if kept is None:
            return found
        for day in kept.days:
            for id, area in day.work if day.date >= self.on else ():
                parts = [p for p in self.parts if is_on(area, self._areas(p))]
                here = [p for p in parts if id in p.decider.operations()]
                shut = is_barred(self.case.limits, day.date) or all(
                    shut_out(p.decider.decide(id), day.date) for p in here
                )
                if here and shut and not self.done_since(id, area, kept.made):
                    found[day.date, id, area] = here[0]
        return found

    def done_since(self, id: str, area: str, since: dt.date) -> bool:
        """Whether a job was done on an area, or on all of the lawn, from a day on."""
        work = self.case.journal.work(id, since=since)
        return any(not entry.area or is_on(area, (entry.area,)) for entry in work)

    def _areas(self, part: Part) -> Collection[str]:
        return part.areas or self.case.site.area_names

    @property
    def basis(self) -> Basis | None:
        """What the chances rest on; None without weather."""
        weather = self.parts[0].decider.day.weather
        return weather.axis.basis if weather is not None else None

    @cached_property
    def gates(self) -> Gates:
        """What must be seen to before work that could hurt somebody, as it stands today."""
        return Gates(self.case)

    def gates_of(self, item: Item) -> tuple[Gate, ...]:
        """The gates of a job, for the day on which it will be done."""
        if item.operation.breaks_soil is None:
            return ()
        return self.gates.ahead(item)

    def minutes(self, item: Item) -> float:
        """One person's work, the middle of what it takes; 0 where no rule file says."""
        if item.part.size_m2 is None:
            return 0.0
        took = time_of(self.case, item.operation, item.part.ground)
        return (took.low + took.high) / 2 if took else 0.0

    def season(self, item: Item) -> Season | None:
        """The season that the verdict speaks of."""
        return season_of(item.decision, item.part.decider)

    def _item(self, id: str, part: Part) -> Item:
        """The job with what the work after it on the same part makes of its day and weight."""
        item = self.by_itself(id, part)
        if not (item.taken_up and item.sure and item.date and item.date.kind == "deadline"):
            return item
        weight, date = item.weight, item.date
        stand_ins = self.case.book.stands_in_for
        for later in self._after(id, part):
            # Most are told from their season alone, which is sooner had than their verdict.
            if part.decider.outlook(later).state == "open" and later not in stand_ins:
                other = self.by_itself(later, part)
                if other.taken_up and other.sure:
                    weight = min(weight, other.weight, key=HEAVIEST_FIRST.index)
                    date = _before(date, other)
        return replace(item, weight=weight, date=date)

    def by_itself(self, id: str, part: Part) -> Item:
        """The same, without what other work on the part makes of its day."""
        key = _key(id, part)
        if key not in self._alone:
            self._alone[key] = self._made(part.decider.decide(id), part)
        return self._alone[key]

    def _made(self, decision: Decision, part: Part) -> Item:
        operation = decision.operation
        item = Item(decision, part, None, "none", starts(decision))
        appointed = None if item.goes_on else self._appointed(operation.id, part)
        return replace(
            item,
            date=date_of(decision, appointed=appointed, goes_on=item.goes_on),
            weight=weight_of(decision, goes_on=item.goes_on),
            aside=_stands_back(decision),
            spare_for=self._better(operation.id, part),
            appointed=appointed,
        )

    def _appointed(self, id: str, part: Part) -> dt.date | None:
        """The first day from today on for which the keeper has settled on it."""
        if self.plan is None:
            return None
        here = self._areas(part)
        days = (
            day.date
            for day in self.plan.days
            if day.date >= self.on and any(i == id and is_on(area, here) for i, area in day.work)
        )
        return next(days, None)

    def _after(self, id: str, part: Part) -> Iterator[str]:
        """The jobs that come after it when both are done."""
        for later in part.decider.operations():
            if id in self.case.book.all_before[later]:
                yield later

    def _better(self, id: str, part: Part) -> str:
        """A job that this one stands in for, and that can still be had."""
        for other in self.case.book.stands_in_for.get(id, ()):
            if other in part.decider.operations():
                decision = part.decider.decide(other)
                if decision.verdict not in ("missed", "ruled_out"):
                    return other
        return ""


def _key(id: str, part: Part) -> tuple[str, str, str]:
    return id, part.label, part.grass


def _before(date: ItemDate, other: Item) -> ItemDate:
    """A deadline no later than the day of work that has to come after it."""
    due = other.date
    if due is None or due.kind not in ("deadline", "appointment") or due.day >= date.day:
        return date
    return ItemDate("deadline", due.day, sake=other.operation.id)


def _stands_back(decision: Decision) -> Conflict | None:
    """What holds it back for the sake of work that is planned on the same part."""
    planned = (
        conflict
        for conflict in decision.conflicts
        if any(fact.startswith("intended.") for fact in facts_of(conflict.when))
    )
    return next(planned, None)
