"""Decides as `decide.py` does, but takes what was decided for other lawns where it is the same."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from functools import cached_property, partial

from advisor.base.record import replace
from advisor.base.units import System
from advisor.facts.day import Day
from advisor.facts.fact import Value
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import Truth
from advisor.rulebook.model import Operation, RuleBook
from advisor.verdicts.decide import Decider, Decision, Judged
from advisor.verdicts.kept import KeptDay, KeptDecision, KeptOperation, once
from advisor.windows.outlook import Outlook


class SharingDecider(Decider):
    """A decider that changes nothing but the time that decisions take.

    kept: what was decided for other lawns with the same weather on the same day.
    """

    def __init__(self, book: RuleBook, day: Day, units: System, kept: KeptDay) -> None:
        super().__init__(book, day, units)
        self.kept = kept
        self._entries: dict[str, KeptDecision] = {}

    @cached_property
    def _own(self) -> dict[str, KeptOperation]:
        """The operations that are for this grass; others are not shared."""
        return {id: self.kept.rules.operation(id, self.day.grass) for id in super().operations()}

    def operations(self) -> tuple[str, ...]:
        """The ids of the operations that are for this grass."""
        return tuple(self._own)

    def resolved(self, id: str) -> Operation:
        """The operation as it is for this grass."""
        return self._own[id].operation if id in self._own else super().resolved(id)

    def entry(self, id: str) -> KeptDecision:
        """The kept decision on an operation that is for this grass, all but for its `facts`."""
        self.decide(id)
        return self._entries[id]

    def _reads(self, operation: Operation) -> frozenset[str]:
        own = self._own.get(operation.id)
        return own.reads if own else super()._reads(operation)

    def _decided(self, operation: Operation) -> Decision:
        if operation.id not in self._own:
            return super()._decided(operation)
        values, facts = self._values(operation), self.day.facts
        # A fact counts with its basis, day and note, which an answer tells.
        seen = tuple(facts[name] if name in facts else (name, values[name])
                     for name in sorted(values))  # fmt: skip
        instead = tuple(
            self._barred(x.operation) for x in operation.later if x.operation in self._own
        )
        key = (operation.id, self.day.area, self._setting, seen, instead)
        found = once(
            self.kept.decisions, key, lambda: KeptDecision(self._decide(operation, values))
        )
        self._entries[operation.id] = found
        # Who asks for other facts than the operation's own gets this lawn's.
        return replace(found.decision, facts=facts)

    @cached_property
    def _setting(self) -> Hashable:
        """All but an operation's own facts that a decision depends on."""
        day = self.day
        law = (day.facts["law_ban_in"], day.law.bans)
        place = None if day.weather is None else day.weather.place
        site = tuple(sorted(self.site_values.items()))
        return (day.on, day.grass, self.units, law, place, site)

    def _judged(
        self,
        operation: Operation,
        values: Mapping[str, Value | None],
        state: str,
        lasting: Truth,
    ) -> Judged:
        own = self._own.get(operation.id)
        if own is None:
            return super()._judged(operation, values, state, lasting)
        return self.kept.rules.judged(own, self.day.grass, values, state, lasting, self.units)

    def _outlook(self, id: str, weather: WeatherFacts) -> Outlook:
        own = self._own.get(id)
        if own is None:
            return super()._outlook(id, weather)
        site = tuple(self.site_values.get(name) for name in sorted(own.of_windows))
        bans = self.day.law.bans if "blackout" in own.operation.laws else ()
        key = (own.windows, site, weather.place_for(own.of_windows), bans)
        return once(self.kept.outlooks, key, partial(super()._outlook, id, weather))
