"""Judges the inline examples of the rule files, with the engine or by the plain reading."""

from __future__ import annotations

from collections.abc import Collection, Hashable

from advisor.decide.engine.plain import truth
from advisor.decide.verdicts.deciding import deciding_paths
from advisor.decide.verdicts.judge import Judge
from advisor.facts.fact import Vocabulary
from advisor.rulebook.conditions import Condition, Truth
from advisor.rulebook.model import Example, Operation
from advisor.rulebook.prove import Facts

_MOST_KEPT = 16


class EngineExampleJudge:
    """`plain=True` leaves the engine out, for the thousands of changed rules that tests try.

    A few compiled operations are kept, since the examples of one file share them, and so do the
    grasses on which the gates read the same.
    """

    def __init__(self, vocabulary: Vocabulary, *, plain: bool = False) -> None:
        self._vocabulary = vocabulary
        self._plain = plain
        self._kept: list[Judge] = []

    def verdict(self, operation: Operation, example: Example) -> str:
        """The verdict word for an example."""
        judge = self._judge(operation)
        if self._plain:
            return judge.what_if(example.facts, example.window, example.lasting)
        return judge.judge(example.facts, example.window, example.lasting).verdict

    def truth(self, tree: Condition, facts: Facts) -> Truth:
        """The truth of one tree, read plainly."""
        return truth(tree, facts)

    def deciding(self, operation: Operation, example: Example, but: Collection[str]) -> set[str]:
        """Paths of the conditions that decide the example, read plainly."""
        return set(deciding_paths(operation, self._judge(operation).formulas, example, but))

    def _judge(self, operation: Operation) -> Judge:
        gates = _gates(operation)
        found = next((j for j in reversed(self._kept) if _gates(j.operation) == gates), None)
        if found is None:
            found = Judge(operation, self._vocabulary)
        else:
            self._kept.remove(found)
        self._kept.append(found)
        if len(self._kept) > _MOST_KEPT:
            self._kept.pop(0).close()
        return found


def _gates(operation: Operation) -> tuple[Hashable, ...]:
    """All that the compiled gates depend on."""
    return operation.id, operation.need, operation.ready, operation.conflicts
