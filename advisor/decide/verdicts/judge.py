"""One operation on one grass, compiled for the engine: facts in, verdict out.

The order of thought behind it: no need is said first, even where something forbids the work; then
the season; then what forbids it; then what is not known; then what is not ready.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cache, cached_property

from advisor.base.record import Record
from advisor.decide.engine.model import Combination, Effect, FactKind, Formula, Table, Values
from advisor.decide.engine.plain import evaluate_plainly, formula_truths, group_truth, truth
from advisor.decide.engine.program import kept_program
from advisor.decide.engine.session import Session
from advisor.facts.fact import FactDefinition, Vocabulary
from advisor.rulebook.conditions import Condition, Group, Leaf, Truth, facts_of, leaves
from advisor.rulebook.model import Conflict, Operation, VerdictName

NEED, READY, CONFLICT = "need", "ready", "conflict"
WINDOW, LASTING = "window_state", "conflict_outlasts_window"

_TRUTH = ("true", "false", "unknown")
WINDOW_STATES = ("before", "open", "over")

INPUTS: Mapping[str, tuple[str, ...]] = {
    NEED: _TRUTH,
    WINDOW: (*WINDOW_STATES, "unknown"),
    CONFLICT: _TRUTH,
    LASTING: _TRUTH,
    READY: _TRUTH,
}

_NEEDED = {NEED: "true|unknown"}
_IN_SEASON = {**_NEEDED, WINDOW: "open|unknown"}
_FREE = {**_IN_SEASON, CONFLICT: "false"}

TABLE = Table(
    inputs=INPUTS,
    rows=(
        ({NEED: "false"}, "not_needed"),
        ({**_NEEDED, WINDOW: "over"}, "missed"),
        ({**_NEEDED, WINDOW: "before"}, "wait"),
        ({**_IN_SEASON, CONFLICT: "true", LASTING: "true"}, "ruled_out"),
        ({**_IN_SEASON, CONFLICT: "true", LASTING: "false|unknown"}, "hold"),
        ({**_IN_SEASON, CONFLICT: "unknown"}, "measure"),
        ({**_FREE, NEED: "unknown"}, "measure"),
        ({**_FREE, NEED: "true", WINDOW: "unknown"}, "measure"),
        ({**_FREE, NEED: "true", WINDOW: "open", READY: "unknown"}, "measure"),
        ({**_FREE, NEED: "true", WINDOW: "open", READY: "false"}, "hold"),
        ({**_FREE, NEED: "true", WINDOW: "open", READY: "true"}, "do"),
    ),
)


def intended_effects(wanted: str) -> tuple[Effect, ...]:
    """What other operations may build on: the keeper's wish, or need and window this year.

    Never the verdict itself: a drought that holds the sowing must not lift what the coming sowing
    forbids. What a law or a label rules out for the whole window is not intended. `wanted` is the
    name of the flag fact that carries the wish.
    """
    allowed = {LASTING: "false|unknown"}
    return (
        Effect("intended", {**allowed, wanted: "true"}),
        Effect("intended", {**allowed, NEED: "true", WINDOW: "before|open"}),
    )


Truths = Mapping[str, Truth]
"""By the name of a formula: need, ready, conflict and each `conflict.ID`."""


class Judgement(Record, frozen=True):
    """A verdict and what it rests on."""

    verdict: VerdictName
    truths: Truths
    intended: Truth


class Judge:
    """Compiles an operation once and judges any number of days with the engine.

    The operation must have been resolved for a grass (`Operation.for_grass`). kept_as: a name under
    which to keep what was compiled for the next run of the program; empty to keep nothing.
    """

    def __init__(self, operation: Operation, vocabulary: Vocabulary, kept_as: str = "") -> None:
        self.operation = operation
        self.vocabulary = vocabulary
        self._kept_as = kept_as
        self.formulas = gate_formulas(operation)

    @cached_property
    def kinds(self) -> dict[str, FactKind]:
        """The kind of each fact that the gates read."""
        trees = [f for f in self.formulas.values() if not isinstance(f, Combination)]
        names = frozenset().union(*(facts_of(tree) for tree in trees)) | {self._wanted}
        kinds = {name: fact_kind(self.vocabulary[name]) for name in sorted(names)}
        kinds[WINDOW] = FactKind("choice", WINDOW_STATES)
        kinds[LASTING] = FactKind("flag")
        return kinds

    @cached_property
    def _session(self) -> Session:
        effects = intended_effects(self._wanted)
        return Session(kept_program(self._kept_as, self.formulas, self.kinds, TABLE, effects))

    @property
    def _wanted(self) -> str:
        return f"wanted.{self.operation.id}"

    def judge(self, values: Values, window: str, lasting: Truth) -> Judgement:
        """The verdict of the engine. `window` is before, open, over or unknown."""
        found = self._session.evaluate(self._inputs(values, window, lasting))
        return Judgement(_verdict(found.conclusion), found.truths, found.effects["intended"])

    def what_if(self, values: Values, window: str, lasting: Truth) -> VerdictName:
        """The same verdict by the plain reading."""
        return verdict_of(self.truths(values), window, lasting)

    def truths(self, values: Values) -> Truths:
        """The truth of each formula by the plain reading."""
        return formula_truths(self.formulas, values)

    def truths_after(self, truths: Truths, fact: str, values: Values) -> Truths:
        """The same where only one fact has changed since `truths`: for the many trials behind
        'what would change'. values: with the fact as it is now."""
        new = dict(truths)
        for name, tree in self._reading.get(fact, ()):
            new[name] = truth(tree, values)
        new[CONFLICT] = group_truth("any", (new[name] for name in self._conflicts))
        return new

    @cached_property
    def _reading(self) -> dict[str, list[tuple[str, Condition]]]:
        """By fact the formulas that read it."""
        found: dict[str, list[tuple[str, Condition]]] = {}
        for name, formula in self.formulas.items():
            if not isinstance(formula, Combination):
                for fact in facts_of(formula):
                    found.setdefault(fact, []).append((name, formula))
        return found

    def leaves_on(self, fact: str) -> list[Leaf]:
        """The comparisons of a fact in the gates."""
        return self._leaves.get(fact, [])

    @cached_property
    def _leaves(self) -> dict[str, list[Leaf]]:
        operation, found = self.operation, dict[str, list[Leaf]]()
        for tree in (operation.need, *(c.when for c in operation.conflicts), operation.ready):
            for leaf in leaves(tree):
                found.setdefault(leaf.fact, []).append(leaf)
        return found

    @cached_property
    def _conflicts(self) -> tuple[str, ...]:
        return tuple(f"conflict.{c.id}" for c in self.operation.conflicts)

    def close(self) -> None:
        """Free the engine's memory."""
        if "_session" in self.__dict__:
            self._session.close()

    def _inputs(self, values: Values, window: str, lasting: Truth) -> Values:
        return {**values, WINDOW: _state(window), LASTING: lasting}


def verdict_of(truths: Truths, window: str, lasting: Truth) -> VerdictName:
    """The verdict that the truths of the gates' formulas lead to."""
    return verdict_at(truths[NEED], truths[READY], truths[CONFLICT], window, lasting)


@cache
def verdict_at(
    need: Truth, ready: Truth, conflict: Truth, window: str, lasting: Truth
) -> VerdictName:
    """The verdict for these states of the gates, read plainly off the table."""
    gates = {NEED: need, READY: ready, CONFLICT: conflict}
    inputs: Values = {**gates, WINDOW: _state(window), LASTING: lasting}
    return _verdict(evaluate_plainly({}, inputs, TABLE).conclusion)


def gate_formulas(operation: Operation) -> dict[str, Formula]:
    """The named formulas of an operation's gates."""
    conflicts = {f"conflict.{c.id}": binding_tree(c) for c in operation.conflicts}
    return {
        NEED: operation.need,
        READY: operation.ready,
        **conflicts,
        CONFLICT: Combination("any", tuple(conflicts)),
    }


def binding_tree(conflict: Conflict) -> Condition:
    """A conflict as it binds.

    A law or a label that may apply stops the work until that is known. A caution counts only when
    all the facts that it compares are known (asking whether one is known compares nothing); the
    answer says it anyway.
    """
    if conflict.strength != "caution":
        return conflict.when
    compared = {x.fact for x in leaves(conflict.when) if x.comparison != "known"}
    known = (Leaf(fact, "known", True) for fact in sorted(compared))
    return Group("all", (conflict.when, *known))


def fact_kind(definition: FactDefinition) -> FactKind:
    """The engine's kind of a fact."""
    return FactKind(definition.kind, definition.choices)


def keeper_facts(operation: Operation, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The facts of the gates that a keeper can measure, state or change, in file order."""
    trees: Iterable[Condition] = (
        operation.need,
        operation.ready,
        *(conflict.when for conflict in operation.conflicts),
    )
    names = dict.fromkeys(leaf.fact for tree in trees for leaf in leaves(tree))
    return tuple(name for name in names if vocabulary[name].of_keeper)


def _state(window: str) -> str | None:
    return window if window in WINDOW_STATES else None


def _verdict(conclusion: str) -> VerdictName:
    return conclusion  # type: ignore[return-value]
