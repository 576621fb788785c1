"""Judges the inline examples of the rule files, with the engine or by the plain reading."""

from __future__ import annotations

from advisor.engine.trace import truth
from advisor.facts.vocabulary import Vocabulary
from advisor.rulebook.conditions import Condition, Truth
from advisor.rulebook.model import Example, Operation
from advisor.rulebook.prove import Facts
from advisor.verdicts.judge import Judge


class EngineExampleJudge:
    """`plain=True` leaves the engine out, for the thousands of trials behind coverage."""

    def __init__(self, vocabulary: Vocabulary, *, plain: bool = False) -> None:
        self._vocabulary = vocabulary
        self._plain = plain

    def verdict(self, operation: Operation, example: Example) -> str:
        """The verdict word for an example."""
        judge = Judge(operation, self._vocabulary)
        if self._plain:
            return judge.what_if(example.facts, example.window, example.lasting)
        try:
            return judge.judge(example.facts, example.window, example.lasting).verdict
        finally:
            judge.close()

    def truth(self, tree: Condition, facts: Facts) -> Truth:
        """The truth of one tree, read plainly."""
        return truth(tree, facts)
