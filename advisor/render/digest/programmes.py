"""Where the lawn stands in its programmes, as a digest tells it."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.answers.sources import Line
from advisor.planning.programme_words import standing_lines
from advisor.render.digest.leads import Job
from advisor.render.digest.week import Week

MOST_STEPS = 2


def steps_of(week: Week, shown: Iterable[Job]) -> tuple[Line, ...]:
    """Their lines, what is under way first; of the tasks that are shown without their days."""
    told = frozenset(answer.item.key for job in shown for answer in job)
    return standing_lines(week.programmes, week.advice, told)[:MOST_STEPS]
