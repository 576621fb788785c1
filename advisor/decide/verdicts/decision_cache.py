"""Decisions kept for a program that decides for many lawns, and shared where they are the same.

Three things are kept, each by all that it can depend on and nothing more:
- judgements by the truths of an operation's comparisons, for as long as the program runs: the
  engine and the trials behind 'what would change' see comparisons, never the values behind them;
- outlooks by the windows and the facts that these read, for one weather axis;
- decisions by the facts that the operation reads, for one weather axis and one day.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field
from functools import cached_property, partial
from typing import Any, TypeVar

from advisor.base.record import replace
from advisor.base.units import System
from advisor.decide.engine.plain import truth
from advisor.decide.verdicts.decide import Decider, Decision, Judged
from advisor.decide.verdicts.judge import Judge
from advisor.decide.verdicts.what_would_change import outcomes_of, settled_share
from advisor.decide.windows.outlook import Outlook
from advisor.facts.day import Day
from advisor.facts.fact import Value
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import Leaf, Truth, facts_of, leaves
from advisor.rulebook.model import Operation, RuleBook, Window

T = TypeVar("T")
_MOST = 2_000
"""Things kept in one place, so that a long build needs no more memory than a short one. Twelve
places with 500 readers of eleven grasses come to 827 judgements, most of them met early."""


class KeptOperation:
    """An operation as it is for a grass, compiled once.

    reads: the facts of all its trees. of_windows: those of its windows. windows: a number that
    operations with equal windows share.
    """

    def __init__(self, operation: Operation, book: RuleBook, windows: int) -> None:
        trees = operation.trees()
        self.operation = operation
        self.reads = frozenset[str]().union(*map(facts_of, trees.values()))
        self.windows = windows
        self.of_windows = frozenset[str]().union(
            *(facts_of(tree) for name, tree in trees.items() if name.startswith("windows."))
        )
        self.judge = Judge(operation, book.vocabulary)
        gates = (operation.need, operation.ready, *(c.when for c in operation.conflicts))
        self._leaves: tuple[Leaf, ...] = tuple(
            dict.fromkeys(leaf for tree in gates for leaf in leaves(tree))
        )
        self._wanted = f"wanted.{operation.id}"

    def truths(self, values: Mapping[str, Value | None]) -> tuple[Any, ...]:
        """All that a judgement can see of some values; which are unknown, too, the leaves tell."""
        return (*(truth(leaf, values) for leaf in self._leaves), values.get(self._wanted))


class KeptRules:
    """Operations and judgements of one rule book. Not safe to share between threads."""

    def __init__(self, book: RuleBook) -> None:
        self.book = book
        self._operations: dict[tuple[str, str], KeptOperation] = {}
        self._windows: dict[tuple[Window, ...], int] = {}
        self._judged: dict[Hashable, Judged] = {}
        self.made: dict[Hashable, Any] = {}

    @property
    def distinct(self) -> int:
        """How many different sets of truths have been judged."""
        return len(self._judged)

    def operation(self, id: str, grass: str) -> KeptOperation:
        """An operation that is for a grass."""
        if (id, grass) not in self._operations:
            resolved = self.book.operations[id].for_grass(self.book.grasses[grass])
            windows = self._windows.setdefault(resolved.windows, len(self._windows))
            self._operations[id, grass] = KeptOperation(resolved, self.book, windows)
        return self._operations[id, grass]

    def judged(
        self,
        kept: KeptOperation,
        grass: str,
        values: Mapping[str, Value | None],
        state: str,
        lasting: Truth,
        units: System,
    ) -> Judged:
        """The verdict and what would change it, by the engine the first time."""
        key = (kept.operation.id, grass, state, lasting, units, kept.truths(values))

        def judge() -> Judged:
            judgement = kept.judge.judge(values, state, lasting)
            return judgement, outcomes_of(kept.judge, values, state, lasting, units)

        return once(self._judged, key, judge)

    def settled(self, decision: Decision, fact: str) -> float:
        """As `settled_share` finds it."""
        id, grass = decision.operation.id, decision.grass

        def found() -> float:
            return settled_share(decision, fact, self.book.vocabulary)

        if grass not in self.book.operations[id].grasses:
            return found()
        # Like the verdict it depends on how the comparisons came out, and on no value behind them.
        truths = self.operation(id, grass).truths(decision.values)
        key = ("settled", id, grass, fact, decision.outlook.state, decision.lasting, truths)
        return once(self.made, key, found)


@dataclass
class KeptDecision:
    """A decision, and what was made of it since."""

    decision: Decision
    made: dict[Hashable, Any] = field(default_factory=dict)


class KeptDay:
    """What was decided on one weather axis and one day."""

    def __init__(self, rules: KeptRules) -> None:
        self.rules = rules
        self.made: dict[Hashable, Any] = {}
        self.outlooks: dict[Hashable, Outlook] = {}
        self.decisions: dict[Hashable, KeptDecision] = {}


def once(made: dict[Hashable, Any] | None, key: Hashable, make: Callable[[], T]) -> T:
    """What was made before under a key, or is made now; always made where nothing is kept."""
    if made is None:
        return make()
    if key not in made:
        fresh = make()
        if len(made) >= _MOST:
            made.clear()
        made[key] = fresh
    found: T = made[key]
    return found


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
