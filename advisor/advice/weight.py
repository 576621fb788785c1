"""What is lost with a job that is missed: how long the same chance is gone."""

from __future__ import annotations

from advisor.advice.item import Weight
from advisor.verdicts.decide import Decision

WEEKS, SEASON = 60, 240
"""Days without an equal chance: up to the first it is weeks, up to the second a season (chosen)."""


def weight_of(decision: Decision, *, goes_on: bool) -> Weight:
    """The weight of a job by itself: the days from the end of its season to the next as good.

    A later season that the rule file prices, or likes less, is not as good. Care that goes on
    weighs nothing, unless something that lives by it alone has raised it.
    """
    operation = decision.operation
    if goes_on:
        alive = operation.quiet and not operation.routine and decision.verdict == "do"
        return "life" if alive else "none"
    current = decision.outlook.current
    if current is None or current.all_year:
        return "weeks"
    equal = [
        (later.opening.opens.p50 - current.closes.p50).days
        for later in decision.later
        if later.operation == operation.id
        and not later.says
        and later.opening.window.prefer <= current.window.prefer
        and later.opening.opens.p50 > current.closes.p50
    ]
    gone = min(equal, default=SEASON + 1)
    if gone <= WEEKS:
        return "weeks"
    return "season" if gone <= SEASON else "year"
