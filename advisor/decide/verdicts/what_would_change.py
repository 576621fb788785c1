"""Which one fact would change the verdict, and what each result of a measurement would mean."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from itertools import groupby

from advisor.base.record import Record
from advisor.base.units import System, show
from advisor.decide.engine.plain import formula_truths
from advisor.decide.engine.what_if import representatives
from advisor.decide.verdicts.judge import CONFLICT, NEED, READY, Judge, keeper_facts
from advisor.facts.fact import Value
from advisor.rulebook.conditions import Leaf, leaves
from advisor.rulebook.model import VerdictName

Values = Mapping[str, Value | None]
Trial = Callable[[Values], VerdictName]
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

    def trial(changed: Values) -> VerdictName:
        return judge.what_if(changed, window, lasting)

    hopeful = _most_favourable(judge, values)
    found: dict[str, tuple[Outcome, ...]] = {}
    for fact in keeper_facts(judge.operation, judge.vocabulary):
        unknown = values.get(fact) is None
        base = {**hopeful, fact: None} if unknown else values
        outcomes = tuple(_outcomes(judge, fact, base, trial, units))
        if len({o.verdict for o in outcomes}) > 1:
            found[fact] = outcomes
    return found


def _outcomes(
    judge: Judge, fact: str, values: Values, trial: Trial, units: System
) -> Iterator[Outcome]:
    """Neighbouring values with one verdict are said as one range."""
    definition = judge.vocabulary[fact]
    own = [leaf for leaf in _gate_leaves(judge) if leaf.fact == fact]
    tried = [
        (value, trial({**values, fact: value}))
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


def _most_favourable(judge: Judge, values: Values) -> Values:
    """Unknown keeper facts set, one after the other and twice over, to open the gates most."""
    best = dict(values)
    missing = [f for f in keeper_facts(judge.operation, judge.vocabulary) if values.get(f) is None]
    own = list(_gate_leaves(judge))
    for fact in (*missing, *missing):
        options = representatives(own, fact, judge.kinds[fact])
        best[fact] = max(options, key=lambda v, f=fact: _openness(judge, {**best, f: v}))  # type: ignore[misc]
    return best


def _openness(judge: Judge, values: Values) -> int:
    """How near the gates are to a `do`: need and no conflict weigh more than being ready."""
    truths = formula_truths(judge.formulas, values)
    towards = {True: 2, None: 1, False: 0}
    need, ready = towards[truths[NEED]], towards[truths[READY]]
    free = 2 - towards[truths[CONFLICT]]
    return 2 * (need + free) + ready


def _gate_leaves(judge: Judge) -> Iterator[Leaf]:
    operation = judge.operation
    for tree in (operation.need, *(c.when for c in operation.conflicts), operation.ready):
        yield from leaves(tree)


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
