"""The verdict on one operation for one part of the lawn on one day, with all that it rests on."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from functools import cached_property

import numpy as np

from advisor.base.record import Record, field
from advisor.base.units import System
from advisor.decide.engine.plain import truth
from advisor.decide.engine.what_if import close_calls
from advisor.decide.verdicts.forward import (
    Clears,
    End,
    Grade,
    Later,
    applies,
    clears,
    days_to,
    ends_of,
    facts_as_series,
    graded,
    last_good_day,
    lasts,
    reaches,
)
from advisor.decide.verdicts.judge import Judge, Judgement
from advisor.decide.verdicts.what_would_change import Outcome, outcomes_of
from advisor.decide.windows.interval import Series
from advisor.decide.windows.outlook import Outlook, not_before, outlook
from advisor.decide.windows.tracks import Banned, Opening, WindowYear, window_years
from advisor.facts.day import Day
from advisor.facts.fact import Fact, Value
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import Condition, Leaf, Truth, facts_of
from advisor.rulebook.model import Advice, Conflict, Operation, RuleBook, VerdictName
from advisor.rulebook.read_rulebook import not_for

Judged = tuple[Judgement, Mapping[str, tuple[Outcome, ...]]]
"""A judgement, and what would change it."""


class Decision(Record, frozen=True):
    """values: bare facts, with the `intended` of other operations. by: cautious last good day.

    conflicts: those that bind now. ends: when they no longer do, if that can be told. lasting:
    whether that is after the season. outcomes:
    for each fact that matters, what each result would mean. close: leaves too close to call.
    for_good: the law of the place forbids it, which no day will change.
    """

    operation: Operation
    on: dt.date
    area: str | None
    grass: str
    verdict: VerdictName
    grade: Grade | None
    judgement: Judgement
    outlook: Outlook
    facts: Mapping[str, Fact]
    values: Mapping[str, Value | None]
    by: dt.date | None = None
    clears: Clears | None = None
    conflicts: tuple[Conflict, ...] = ()
    ends: End | None = None
    lasting: Truth = None
    outcomes: Mapping[str, tuple[Outcome, ...]] = field(default_factory=dict)
    close: tuple[Leaf, ...] = ()
    advice: tuple[Advice, ...] = ()
    later: tuple[Later, ...] = ()
    for_good: bool = False

    @property
    def forbidden_ahead(self) -> bool:
        """Whether what forbids it today will still do so when the season to come is over."""
        ahead = self.ends is not None and self.lasting is True
        return self.verdict == "wait" and (ahead or self.for_good)


class Decider:
    """Decides operations for one day, each once, those that others depend on first.

    planned: what the keeper has settled on here, which counts as intended.
    """

    def __init__(
        self, book: RuleBook, day: Day, units: System, planned: frozenset[str] = frozenset()
    ) -> None:
        self.book = book
        self.planned = planned
        self.day = day
        self.units = units
        self._done: dict[str, Decision] = {}
        self._outlooks: dict[str, Outlook] = {}

    def operations(self) -> tuple[str, ...]:
        """The ids of the operations that are for this grass."""
        return self._operations

    @cached_property
    def _operations(self) -> tuple[str, ...]:
        return tuple(i for i, o in self.book.operations.items() if self.day.grass in o.grasses)

    def decide(self, id: str) -> Decision:
        """The decision on an operation. Raises `KeyError` for one that has no rule file."""
        if id not in self._done:
            self._done[id] = self._decided(self.resolved(id))
        return self._done[id]

    def resolved(self, id: str) -> Operation:
        """The operation as it is for this grass."""
        operation, grass = self.book.operations[id], self.book.grasses[self.day.grass]
        if grass.id in operation.grasses:
            return operation.for_grass(grass)
        titles = sorted(self.book.grasses[id].title for id in operation.grasses)
        return not_for(operation, grass.title, titles)

    def _reads(self, operation: Operation) -> frozenset[str]:
        """The facts that an operation's conditions read."""
        return frozenset().union(*(facts_of(tree) for tree in operation.trees().values()))

    def _values(self, operation: Operation) -> Mapping[str, Value | None]:
        return self.values_of(self._reads(operation) | {f"wanted.{operation.id}"})

    def values_of(self, names: frozenset[str]) -> Mapping[str, Value | None]:
        """The bare values of facts, those among them that other operations make of the year."""
        return self.day.values(names) | self._of_others(names)

    def _decided(self, operation: Operation) -> Decision:
        return self._decide(operation, self._values(operation))

    def _decide(self, operation: Operation, values: Mapping[str, Value | None]) -> Decision:
        seen = self.outlook(operation.id)
        binding, ends = self._binding(operation, values)
        lasting = lasts(ends, seen) if binding else None
        told = seen if ends is None else not_before(seen, ends.day)
        judged, changes = self._judged(operation, values, seen.state, lasting)
        verdict = judged.verdict
        for_good = any(c.strength == "law" and self._of_place(c.when) for c in binding)
        told_as: VerdictName = "ruled_out" if for_good and verdict != "not_needed" else verdict
        need_close = close_calls(operation.need, values) if judged.truths["need"] else ()
        return Decision(
            operation=operation,
            on=self.day.on,
            area=self.day.area,
            grass=self.day.grass,
            verdict=verdict,
            grade=graded(verdict, seen, need_close),
            judgement=judged,
            outlook=told,
            facts=self.day.facts,
            values=values,
            by=self._by(operation, seen),
            clears=self._clears(operation, verdict, judged),
            conflicts=tuple(binding),
            ends=ends,
            lasting=lasting,
            outcomes={} if for_good else changes,
            close=close_calls(operation.need, values),
            advice=tuple(a for a in operation.advice if applies(a, told_as, values)),
            later=self._later(operation, told),
            for_good=for_good,
        )

    def _of_place(self, when: Condition) -> bool:
        """Whether only the place decides it, so that no day will change it."""
        vocabulary = self.book.vocabulary
        return all(vocabulary[name].varies == "site" for name in facts_of(when))

    def _judged(
        self,
        operation: Operation,
        values: Mapping[str, Value | None],
        state: str,
        lasting: Truth,
    ) -> Judged:
        """The engine's verdict, and what would change it."""
        judge = Judge(operation, self.book.vocabulary, f"program-{self.day.grass}-{operation.id}")
        try:
            judged = judge.judge(values, state, lasting)
        finally:
            judge.close()
        return judged, outcomes_of(judge, values, state, lasting, self.units)

    def _by(self, operation: Operation, seen: Outlook) -> dt.date | None:
        """The last good day of an open window; none on a day on which the law forbids the work."""
        banned = "blackout" in operation.laws and self.day.law.bans_feeding(self.day.on)
        return last_good_day(seen, self.day.on) if seen.state == "open" and not banned else None

    def banned(self, operation: Operation) -> Banned | None:
        """The days of the axis on which the law here forbids an operation; None: on none."""
        return self._blackout if "blackout" in operation.laws else None

    @cached_property
    def _blackout(self) -> Banned | None:
        weather, law = self.day.weather, self.day.law
        if weather is None or not law.bans:
            return None
        axis = weather.axis
        return np.array([law.bans_feeding(axis.date(at)) for at in range(len(axis.days))])

    def outlook(self, id: str) -> Outlook:
        """The windows of an operation; unknown where there is no weather."""
        if id not in self._outlooks:
            weather = self.day.weather
            if weather is None:
                found = Outlook("unknown", None, None, (), best=False, members=0)
            else:
                found = self._outlook(id, weather)
            self._outlooks[id] = found
        return self._outlooks[id]

    def _outlook(self, id: str, weather: WeatherFacts) -> Outlook:
        operation = self.resolved(id)
        return outlook(operation, weather, self.site_values, self.banned(operation))

    def year(self, id: str, weeks: Sequence[dt.date]) -> tuple[WindowYear, ...]:
        """Each window of an operation in each season year that the weeks touch.

        weeks: first days of consecutive weeks. Empty where there is no weather.
        """
        weather = self.day.weather
        if weather is None:
            return ()
        operation, banned = self.resolved(id), self.banned(self.resolved(id))
        return tuple(window_years(operation, weather, self.site_values, weeks, banned))

    @cached_property
    def site_values(self) -> dict[str, Series | None]:
        """What is the same on all days of all years; today's weather is not among it."""
        vocabulary = self.book.vocabulary
        names = (n for n, fact in vocabulary.definitions.items() if fact.varies == "site")
        return facts_as_series(self.day.values(names))

    def _of_others(self, read: frozenset[str]) -> dict[str, Value | None]:
        """What other operations make of this year; the rule book has no circles among them."""
        found: dict[str, Value | None] = {}
        for name in read:
            family, _, id = name.partition(".")
            if family == "intended":
                suited = id in self.operations()
                found[name] = suited and self._intended(id)
            elif family in ("days_to", "wait_reaches"):
                away = days_to(self.outlook(id), self.day.on)
                wait = self.day.values(["preventer_wait"]).get("preventer_wait")
                found[name] = away if family == "days_to" else reaches(wait, away)
        return found

    def _intended(self, id: str) -> Truth:
        """A day settled for it counts only as long as nothing shuts it out."""
        decision = self.decide(id)
        stands = decision.verdict not in ("ruled_out", "not_needed")
        return (id in self.planned and stands) or decision.judgement.intended

    def _binding(
        self, operation: Operation, values: Mapping[str, Value | None]
    ) -> tuple[list[Conflict], End | None]:
        """The conflicts that bind today, and when they no longer do, if that can be told."""
        binding = [c for c in operation.conflicts if truth(c.when, values)]
        return binding, ends_of(binding, operation, values, self.day.on, self.book.vocabulary)

    def _barred(self, id: str) -> End | None:
        """When that ends which forbids an operation that stands in for another, if anything does.

        What other operations make of the year is left out: they may ask for this one in turn.
        """
        operation = self.resolved(id)
        read = self._reads(operation)
        return self._binding(operation, dict.fromkeys(read) | self.day.values(read))[1]

    def _clears(
        self, operation: Operation, verdict: VerdictName, judged: Judgement
    ) -> Clears | None:
        if verdict != "hold" or judged.truths["ready"] is not False:
            return None
        return clears(operation.ready, self.day, self.book.vocabulary)

    def _later(self, operation: Operation, seen: Outlook) -> tuple[Later, ...]:
        """Openings to come, soonest first, of this operation and of its stand-ins."""
        own = [Later(operation.id, o, o.window.cost) for o in seen.later]
        others = [
            Later(later.operation, opening, later.says)
            for later in operation.later
            if later.operation in self.operations()
            for opening in self._next(later.operation)
        ]
        return tuple(sorted((*own, *others), key=lambda later: later.opening.opens.p50))

    def _next(self, id: str) -> tuple[Opening, ...]:
        """The opening that is open now or comes next, on days on which nothing forbids it."""
        ends, seen = self._barred(id), self.outlook(id)
        seen = seen if ends is None else not_before(seen, ends.day)
        if seen.state == "open" and seen.current is not None:
            return (seen.current,)
        return seen.later[:1]
