"""What a measurement alone would lead to, everything else staying as it is."""

from __future__ import annotations

from itertools import groupby

from advisor.decide.engine.what_if import representatives
from advisor.decide.verdicts.decide import Decision
from advisor.decide.verdicts.judge import Judge, verdict_of
from advisor.facts.fact import Vocabulary
from advisor.rulebook.model import VerdictName


def verdicts_by_result(
    decision: Decision, fact: str, vocabulary: Vocabulary
) -> tuple[VerdictName, ...]:
    """The verdict that each possible result of the fact gives, with other unknowns unknown.

    Results: all values of a flag or a choice; of a number the ranges that its limits part, where
    neighbouring ranges with one verdict count once.
    """
    judge = Judge(decision.operation, vocabulary)
    definition = vocabulary[fact]
    low, high = definition.lowest, definition.highest
    truths = judge.truths(decision.values)
    found = [
        verdict_of(
            judge.truths_after(truths, fact, {**decision.values, fact: value}),
            decision.outlook.state,
            decision.lasting,
        )
        for value in representatives(judge.leaves_on(fact), fact, judge.kinds[fact])
        if isinstance(value, (bool, str))
        or ((low is None or value >= low) and (high is None or value <= high))
    ]
    if definition.kind in ("flag", "choice"):
        return tuple(found)
    return tuple(verdict for verdict, _ in groupby(found))


def settled_share(decision: Decision, fact: str, vocabulary: Vocabulary) -> float:
    """The part of the results, 0 to 1, after which the verdict is no longer `measure`."""
    found = verdicts_by_result(decision, fact, vocabulary)
    return sum(verdict != "measure" for verdict in found) / len(found) if found else 0.0
