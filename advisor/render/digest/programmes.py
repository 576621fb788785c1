"""Where the lawn stands in its programmes, as a digest tells it."""

from __future__ import annotations

from advisor.answers.sources import Line
from advisor.cases.parts import candidates
from advisor.planning.programme_step import Standing
from advisor.planning.programme_words import near_standings, standing_lines
from advisor.render.digest.week import Week

MOST_STEPS = 2


def programmes_of(week: Week) -> tuple[Standing, ...]:
    """Those to be told of; none while it is not known which grass it is."""
    return () if candidates(week.advice.case) else near_standings(week.advice)


def steps_of(week: Week) -> tuple[Line, ...]:
    """Their lines, what is under way first."""
    return standing_lines(programmes_of(week), week.advice)
