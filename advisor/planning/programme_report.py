"""Where a lawn stands in the programmes that somebody asked about, and what of them fits where."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from advisor.advice.book import Advice, OfAdvice
from advisor.advice.free_days import FreeRun, free_runs
from advisor.advice.gates import Gate
from advisor.answers.question_intent import Intent, intent_of
from advisor.answers.question_text import plain
from advisor.base.dates import ONE_DAY
from advisor.base.problems import BadInput, Place
from advisor.planning.free_days_asked import run_asked
from advisor.planning.programme import standings
from advisor.planning.programme_step import Standing, Step
from advisor.planning.weekends import AHEAD_DAYS, Choice, Weekends, compose_weekends
from advisor.records.limits import NO_LIMITS, is_barred


@dataclass(frozen=True)
class ProgrammeReport(OfAdvice):
    """standings: of the programmes asked about, of each part that is in them or should be. intent:
    what was asked. gates: of the steps that are still to be done. weekends, choice: where free days
    were asked about, all of them, and those that were meant. shut: the days that were meant, where
    the keeper's limits leave none of them."""

    advice: Advice
    standings: tuple[Standing, ...]
    intent: Intent
    gates: tuple[Gate, ...]
    weekends: Weekends | None = None
    choice: Choice | None = None
    shut: FreeRun | None = None


def report_of(
    advice: Advice, ids: Iterable[str], question: str, *, area: str = ""
) -> ProgrammeReport | None:
    """None where the lawn is in none of these programmes, and need not be.

    Raises `BadInput` for a date that cannot be read.
    """
    wanted = frozenset(ids)
    found = tuple(
        standing
        for standing in standings(advice)
        if standing.programme.id in wanted
        and standing.state != "unsure"
        and (not area or area in standing.part.areas)
    )
    if not found:
        return None
    open = (step for each in found for step in open_jobs(each))
    gates = tuple(gate for step in open for gate in advice.gates_of(step.item))
    intent = intent_of(plain(question), 1)
    weekends = _weekends(advice, question)
    return ProgrammeReport(advice, found, intent, gates, *weekends)


def _weekends(
    advice: Advice, question: str
) -> tuple[Weekends | None, Choice | None, FreeRun | None]:
    """The free days, and those that the question means; reckoned only where it means some."""
    case, last = advice.case, advice.on + AHEAD_DAYS * ONE_DAY
    try:
        meant, run = (
            run_asked(question, case, free_runs(case.site, limits, advice.on, last))
            for limits in (NO_LIMITS, case.limits)
        )
    except ValueError as unclear:
        raise BadInput.at(Place("the question"), str(unclear)) from None
    barred = meant is not None and all(is_barred(case.limits, day) for day in meant.days)
    shut = meant if barred else None
    if run is None or advice.parts[0].decider.day.weather is None:
        return None, None, shut
    found = compose_weekends(advice)
    return found, next((choice for choice in found.choices if choice.run == run), None), shut


def open_jobs(standing: Standing) -> tuple[Step, ...]:
    """Its steps up to the heart that are still to be done; the care after it goes on by itself."""
    return tuple(step for step in standing.counted if step.open and not step.care)
