"""Which programmes a part of the lawn is in or should be in, and where it stands in each.

Items are read and never decided anew: a step has the verdict and the date of its item. What is
reckoned here is what was done in this run of the programme, and what comes before what.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence

from advisor.advice.book import Advice
from advisor.advice.item import Item
from advisor.base.dates import ONE_DAY
from advisor.base.record import replace
from advisor.cases.parts import Part
from advisor.decide.engine.plain import truth
from advisor.facts.fact import Vocabulary
from advisor.facts.told_facts import record_facts
from advisor.planning.programme_days import with_days
from advisor.planning.programme_run import Run, days_after, is_seasonal, run_of
from advisor.planning.programme_step import (
    LeftOut,
    ProgrammeState,
    Standing,
    Step,
    StepState,
    WaitFor,
    WaitKind,
)
from advisor.records.journal import Journal
from advisor.rulebook.conditions import Truth, facts_of
from advisor.rulebook.programme import Programme, ProgrammeJob, ThroughStep


def standings(advice: Advice, part: Part | None = None) -> tuple[Standing, ...]:
    """The programmes that each part of the lawn (or one) is in or should be in.

    One that was brought through is told of until its days are over. One of which all hearts are
    left out is not among them.
    """
    parts = advice.parts if part is None else (part,)
    found = (
        standing_in(programme, each, advice)
        for each in parts
        for programme in advice.case.book.programmes.values()
    )
    return tuple(standing for standing in found if standing is not None)


def standing_in(programme: Programme, part: Part, advice: Advice) -> Standing | None:
    """Where a part stands in a programme; None where it is in none, and need not be."""
    if part.grass not in programme.grasses:
        return None
    case, on = advice.case, advice.on
    areas = part.areas or tuple(case.site.area_names)
    journal = case.journal.as_of(on)
    applies, causes = _applies(programme, part)
    jobs = programme.jobs_for(part.grass, frozenset(causes))
    run = run_of(programme, jobs, journal, areas, on, case.site.place.latitude)
    begun = run.heart_on is not None and is_seasonal(programme, case.book)
    if applies is not True and begun and programme.causes:
        causes = _causes_before(programme, part, run, journal, case.book.vocabulary)
        jobs = programme.jobs_for(part.grass, frozenset(causes))
        begun = bool(causes)
    if applies is False and not begun:
        return None
    steps = _steps(programme, jobs, run, part, advice)
    hearts = [step for step in steps if step.heart and step.state != "left_out"]
    if not hearts or (applies is None and not any(step.item.raised for step in hearts)):
        return None
    state: ProgrammeState = "due" if applies else "unsure"
    if begun or any(step.done_on for step in steps):
        state = "under_way" if any(step.open for step in steps) else "brought_through"
    return with_days(Standing(programme, part, state, steps, causes, run.heart_on))


def _applies(programme: Programme, part: Part) -> tuple[Truth, tuple[str, ...]]:
    """Whether it applies, and the causes that are known."""
    values = part.decider.values_of(facts_of(programme.when))
    known = tuple(cause.id for cause in programme.causes if truth(cause.when, values))
    return truth(programme.when, values), known


def _causes_before(
    programme: Programme, part: Part, run: Run, journal: Journal, vocabulary: Vocabulary
) -> tuple[str, ...]:
    """The causes that the records told on the day before the heart: the work itself makes void
    what was noted of them."""
    if run.heart_on is None:
        return ()
    day = run.heart_on - ONE_DAY
    told = record_facts(journal.as_of(day), vocabulary, part.decider.day.area, day)
    names = facts_of(programme.when)
    values = {name: told[name].value if name in told else None for name in names}
    return tuple(cause.id for cause in programme.causes if truth(cause.when, values))


def _steps(
    programme: Programme, jobs: Sequence[ProgrammeJob], run: Run, part: Part, advice: Advice
) -> tuple[Step, ...]:
    ids = (*(job.job for job in jobs), *(rule.job for rule in programme.through))
    items = {id: advice.item(id, part) for id in ids}
    begun = max((i for i, job in enumerate(jobs) if job.job in run.done), default=-1)
    states = [
        _job_step(job, items[job.job], run, advice, followed=i < begun)
        for i, job in enumerate(jobs)
    ]
    hearts = [step for step in states if step.heart and step.state != "left_out"]
    finished = bool(hearts) and all(step.state == "done" for step in hearts)
    # Half of the seed wants its water before the other half is sown.
    cared_for = bool(hearts) and all(step.done_on for step in hearts)
    last_heart = max((i for i, step in enumerate(states) if step.heart), default=-1)
    out = {step.job for step in states if step.state == "left_out"}
    for i, step in enumerate(states):
        hangs = step.rule.hangs_on if isinstance(step.rule, ProgrammeJob) else ()
        if finished and i < last_heart and step.why != "not_needed":
            states[i] = _passed(step)
        elif hangs and out.issuperset(hangs) and step.open:
            states[i] = replace(step, state="left_out", why="no_place", waits=())
    ready = tuple(_in_turn(states))
    on = run.heart_on if cared_for else None
    by = on + days_after(programme) * ONE_DAY if on is not None else None
    care = (_care_step(rule, items[rule.job], run, by, advice) for rule in programme.through)
    return (*ready, *care)


def _passed(step: Step) -> Step:
    """What was begun before the heart was done is done with it; what was not is over."""
    if step.done_on:
        return replace(step, state="done", waits=())
    return replace(step, state="left_out", why="passed", waits=())


def _in_turn(steps: Sequence[Step]) -> Iterator[Step]:
    """The steps; one that could be done waits for those before it that are needed and open."""
    for i, step in enumerate(steps):
        before = tuple(
            other.job
            for other in steps[:i]
            if other.state in ("next", "planned", "waits")
            and other.item.sure
            and not other.item.operation.routine
        )
        if before and step.state == "next":
            yield replace(step, state="waits", waits=(WaitFor("forerunner", before),))
        elif before and step.state == "waits":
            yield replace(step, waits=(*step.waits, WaitFor("forerunner", before)))
        else:
            yield step


def _job_step(rule: ProgrammeJob, item: Item, run: Run, advice: Advice, *, followed: bool) -> Step:
    """followed: whether a later job was begun; then what was done once is behind the keeper."""
    records = run.done.get(rule.job, ())
    days = tuple(dict.fromkeys(entry.date for entry in records))
    state, waits, why = _by_verdict(item, advice)
    if why == "too_late" and rule.heart and item.starts is not None:
        # The programme is about it, so it waits for its next season.
        state, waits, why = "waits", (WaitFor("season", (), item.starts),), None
    if records:
        share = sum(float(entry.details.get("share", 1.0)) for entry in records)
        more = share < 1 or (item.sure and not item.operation.routine and not followed)
        return Step(rule, item, "partly" if more else "done", days, waits if more else ())
    return Step(rule, item, state, (), waits, why)


def _care_step(rule: ThroughStep, item: Item, run: Run, by: dt.date | None, advice: Advice) -> Step:
    """by: the last day of bringing it through; None where the heart is not done yet."""
    if by is None or run.heart_on is None:
        return Step(rule, item, "not_yet", times=rule.times)
    records = run.done.get(rule.job, ())
    days = tuple(dict.fromkeys(entry.date for entry in records))
    state, waits, why = _by_verdict(item, advice)
    if why in ("ruled_out", "too_late") and item.date is not None and item.date.day <= by:
        # It comes while the work is still being brought through, only later than it might.
        kind: WaitKind = "season" if why == "too_late" else "hold"
        state, waits, why = "waits", (WaitFor(kind, (), item.date.day),), None
    begins = run.heart_on + rule.days[0] * ONE_DAY
    if state == "next" and advice.on < begins:
        state, waits = "waits", (WaitFor("forerunner", run.hearts, begins),)
    over = False
    if rule.lasts is not None:
        end = run.heart_on + (rule.days[1] + rule.lasts[1]) * ONE_DAY
        over = item.need is False or advice.on > end
    enough = over if rule.lasts is not None else len(days) >= rule.times
    if days:
        state, why = ("done", None) if enough else ("partly", None)
        waits = () if enough else waits
    elif over:
        state, why, waits = "left_out", "passed", ()
    return Step(rule, item, state, days, waits, why, rule.times)


def _by_verdict(
    item: Item, advice: Advice
) -> tuple[StepState, tuple[WaitFor, ...], LeftOut | None]:
    """The state of a step of which nothing was done, as its item has it."""
    why = _left_out(item)
    if why is not None:
        return "left_out", (), why
    gates = tuple(gate for gate in advice.gates_of(item) if gate.state != "met")
    waits: tuple[WaitFor, ...] = ()
    if gates:
        first = max(gate.earliest for gate in gates)
        waits = (WaitFor("gate", tuple(gate.rule.id for gate in gates), first),)
    if item.date is not None and item.date.kind == "appointment":
        return "planned", waits, None
    waits = (*_own_waits(item), *waits)
    return ("waits" if waits else "next"), waits, None


def _left_out(item: Item) -> LeftOut | None:
    over: dict[str, LeftOut] = {"not_needed": "not_needed", "missed": "too_late"}
    if item.verdict in over:
        return over[item.verdict]
    if item.barred:
        return "ruled_out"
    return "spare" if item.spare_for else None


def _own_waits(item: Item) -> tuple[WaitFor, ...]:
    """What its verdict waits for; nothing if it is to be done."""
    until = item.date.day if item.date is not None else None
    match item.verdict:
        case "wait":
            return (WaitFor("season", (), item.starts),)
        case "measure":
            return (WaitFor("measurement", tuple(item.decision.outcomes)),)
        case "do" if item.aside is None:
            return ()
    return (WaitFor("hold", (), until),)
