"""Judges the inline examples of the rule files, with the engine or by the plain reading."""

from __future__ import annotations

from advisor.engine.trace import truth
from advisor.facts.vocabulary import Vocabulary
from advisor.rulebook.conditions import Condition, Truth
from advisor.rulebook.model import Example, Operation
from advisor.rulebook.prove import Facts
from advisor.verdicts.judge import Judge

_MOST_KEPT = 16


class EngineExampleJudge:
    """`plain=True` leaves the engine out, for the thousands of trials behind coverage.

    A few compiled operations are kept, since the examples of one file share them.
    """

    def __init__(self, vocabulary: Vocabulary, *, plain: bool = False) -> None:
        self._vocabulary = vocabulary
        self._plain = plain
        self._kept: dict[int, Judge] = {}

    def verdict(self, operation: Operation, example: Example) -> str:
        """The verdict word for an example."""
        if self._plain:
            judge = Judge(operation, self._vocabulary)
            return judge.what_if(example.facts, example.window, example.lasting)
        return self._judge(operation).judge(example.facts, example.window, example.lasting).verdict

    def truth(self, tree: Condition, facts: Facts) -> Truth:
        """The truth of one tree, read plainly."""
        return truth(tree, facts)

    def _judge(self, operation: Operation) -> Judge:
        # The judge holds its operation, so no other can come to lie under the same id meanwhile.
        found = self._kept.pop(id(operation), None) or Judge(operation, self._vocabulary)
        self._kept[id(operation)] = found
        if len(self._kept) > _MOST_KEPT:
            self._kept.pop(next(iter(self._kept))).close()
        return found
