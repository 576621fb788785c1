"""Which one fact would change the verdict, and what each result of a measurement would mean, or
settle."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import groupby
from typing import TYPE_CHECKING

from advisor.base.record import Record
from advisor.base.units import System, show
from advisor.decide.engine.what_if import representatives
from advisor.decide.verdicts.judge import (
    CONFLICT,
    NEED,
    READY,
    Judge,
    Truths,
    keeper_facts,
    verdict_of,
)
from advisor.facts.fact import Value, Vocabulary
from advisor.rulebook.model import VerdictName

if TYPE_CHECKING:
    from advisor.decide.verdicts.decide import Decision

Values = Mapping[str, Value | None]
Trial = Callable[[Value], VerdictName]
EITHER = " or "
"""Between choices that mean the same."""


class Outcome(Record, frozen=True):
    """If `fact` were `to` (in words, in the keeper's units), the verdict would be `verdict`."""

    fact: str
    to: str
    verdict: VerdictName


def outcomes_of(
    judge: Judge, values: Values, window: str, lasting: bool | None, units: System
) -> dict[str, tuple[Outcome, ...]]:
    """For each fact that a keeper can measure or change and that matters: all its outcomes.

    A fact matters if its values lead to different verdicts. Other unknown facts are taken at
    their most favourable, so that one measurement is judged by what it can bring about.
    """

    as_is = values, judge.truths(values)
    hopeful = _most_favourable(judge, *as_is)
    found: dict[str, tuple[Outcome, ...]] = {}
    for fact in keeper_facts(judge.operation, judge.vocabulary):
        base, truths = hopeful if values.get(fact) is None else as_is

        def trial(
            value: Value, fact: str = fact, base: Values = base, truths: Truths = truths
        ) -> VerdictName:
            after = judge.truths_after(truths, fact, {**base, fact: value})
            return verdict_of(after, window, lasting)

        outcomes = tuple(_outcomes(judge, fact, trial, units))
        if len({o.verdict for o in outcomes}) > 1:
            found[fact] = outcomes
    return found


def _outcomes(judge: Judge, fact: str, trial: Trial, units: System) -> Iterator[Outcome]:
    """Neighbouring values with one verdict are said as one range."""
    definition = judge.vocabulary[fact]
    own = judge.leaves_on(fact)
    tried = [
        (value, trial(value))
        for value in representatives(own, fact, judge.kinds[fact])
        if definition.lowest is None or not _outside(value, definition.lowest, definition.highest)
    ]
    for verdict, run in groupby(tried, key=lambda pair: pair[1]):
        run_values = [value for value, _ in run]
        if definition.kind == "number":
            limits = sorted({float(x.limit) for x in own if isinstance(x.limit, float)})
            to = _say_range(run_values, limits, definition.unit, units)
        else:
            to = EITHER.join(_say(value) for value in run_values)
        yield Outcome(fact, to, verdict)


def _most_favourable(judge: Judge, values: Values, truths: Truths) -> tuple[Values, Truths]:
    """Unknown keeper facts set, one after the other and twice over, to open the gates most; and
    what the gates then are."""
    best = dict(values)
    missing = [f for f in keeper_facts(judge.operation, judge.vocabulary) if values.get(f) is None]
    for fact in (*missing, *missing):
        tried = [
            (option, judge.truths_after(truths, fact, {**best, fact: option}))
            for option in representatives(judge.leaves_on(fact), fact, judge.kinds[fact])
        ]
        best[fact], truths = max(tried, key=lambda each: _openness(each[1]))
    return best, truths


def _openness(truths: Truths) -> int:
    """How near the gates are to a `do`: need and no conflict weigh more than being ready."""
    towards = {True: 2, None: 1, False: 0}
    need, ready = towards[truths[NEED]], towards[truths[READY]]
    free = 2 - towards[truths[CONFLICT]]
    return 2 * (need + free) + ready


def _outside(value: Value, lowest: float, highest: float | None) -> bool:
    if isinstance(value, (bool, str)):
        return False
    return value < lowest or (highest is not None and value > highest)


def _say(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value).replace("_", " ")


def _say_range(values: list[Value], limits: list[float], unit: str, units: System) -> str:
    """`over 0.75 in`, `0.5 in or less`, `over 0.5 in, up to 0.75 in`."""
    low, high = float(values[0]), float(values[-1])
    under = max((x for x in limits if x < low), default=None)
    above = min((x for x in limits if x > high), default=None)
    starts_at = low if low in limits else None
    ends_at = high if high in limits else None
    parts = []
    if starts_at is not None:
        parts.append(f"{show(starts_at, unit, units)} or more")
    elif under is not None:
        parts.append(f"over {show(under, unit, units)}")
    if ends_at is not None and ends_at != starts_at:
        parts.append(f"up to {show(ends_at, unit, units)}")
    elif above is not None and ends_at is None:
        parts.append(f"under {show(above, unit, units)}")
    if starts_at is not None and starts_at == ends_at and above is not None:
        return show(starts_at, unit, units)
    return ", ".join(parts) or "any value"


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
