"""Gates and a kept plan in words: the same few sentences in every view."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator

from advisor.advice.book import Advice
from advisor.advice.gates import Gate, Gates, State, gates_of_work
from advisor.answers.answer import answer_of
from advisor.answers.words import listed, say_span, sentence
from advisor.base.dates import clock, say_date
from advisor.base.record import Record, replace
from advisor.base.text import uncapped
from advisor.cases.case import Case
from advisor.records.kept import KeptPlan, PlannedDay
from advisor.records.limits import spans_on, why_barred

_ORDER: tuple[State, ...] = ("late", "open", "met")
_HEADS: dict[State, str] = {"late": "Stop", "open": "First", "met": "Seen to"}


class GateLine(Record, frozen=True):
    """A gate as a view shows it: one word, a title, what holds, and below it what to do."""

    state: State
    title: str
    says: str
    more: tuple[str, ...] = ()

    @property
    def head(self) -> str:
        """What stands before it."""
        return _HEADS[self.state]


def gate_lines(gates: Iterable[Gate], case: Case, *, brief: bool = False) -> tuple[GateLine, ...]:
    """One line for all that is alike, with the jobs that it holds; what stops work first.

    brief: without the words for a keeper who has nothing to see to, where words are counted.
    """
    on = case.on
    of_job: dict[tuple[State, str, dt.date], list[Gate]] = {}
    for gate in gates:
        of_job.setdefault((gate.state, _named(gate), gate.work), []).append(gate)
    alike: dict[tuple[State, dt.date, tuple[str, ...]], dict[str, list[Gate]]] = {}
    for (state, job, work), found in of_job.items():
        rules = tuple(gate.rule.id for gate in found)
        alike.setdefault((state, work, rules), {})[job] = found
    ordered = sorted(alike.items(), key=lambda item: (_ORDER.index(item[0][0]), item[0][1]))
    return tuple(
        _with_notes(_SAY[state](listed(tuple(jobs)), held, on), held, case, brief)
        for (state, _, _), jobs in ordered
        for held in [next(iter(jobs.values()))]
    )


def _with_notes(line: GateLine, gates: list[Gate], case: Case, brief: bool) -> GateLine:
    """The line with the commands that record what is still open, each by itself, to be pasted."""
    more = list(line.more)
    for gate in gates if line.state != "met" else ():
        more.append(f"Then: {case.command('note', gate.rule.note)}")
        if gate.rule.none and not brief:
            more.append(f"Or, if there are none: {case.command('note', gate.rule.none)}")
    return replace(line, more=tuple(more)) if case.folder else line


def only_after(gates: Iterable[Gate], on: dt.date) -> str:
    """What a step waits for, beside the step: `buried lines marked (ask by 9 Sep)`."""
    said = []
    for gate in gates:
        if gate.state == "met":
            said.append(f"{gate.rule.title} (noted for {_day(gate.met_on or on, on)})")
        elif gate.days:
            said.append(f"{gate.rule.title} (ask by {_day(gate.by, on)})")
        else:
            said.append(gate.rule.title)
    return listed(tuple(said))


def _late(jobs: str, gates: list[Gate], on: dt.date) -> GateLine:
    missing = listed(tuple(gate.rule.missing for gate in gates))
    slowest = max(gates, key=lambda gate: gate.earliest)
    says = f"{missing}, and could not be in time for {_weekday(slowest.work, on)}"
    first = _weekday(slowest.earliest, on)
    now = [sentence(f"now: {gate.ask}") for gate in gates]
    takes = sentence(f"the first day is then {first} ({_takes(slowest)})")
    return GateLine("late", f"No {jobs}", sentence(says), (" ".join((*now, takes)),))


def _open(jobs: str, gates: list[Gate], on: dt.date) -> GateLine:
    said = []
    for gate in gates:
        if not gate.days:
            said.append(sentence(gate.ask))
            continue
        when = f"by {_day(gate.by, on)}" if gate.by > on else "now"
        text = f"{when}: {gate.ask}, for work on {_weekday(gate.work, on)}"
        if gate.earliest > on:
            text += f"; not before {_weekday(gate.earliest, on)} ({_takes(gate)})"
        said.append(sentence(text))
    first = listed(tuple(gate.rule.title for gate in gates))
    title = f"{jobs[0].upper()}{jobs[1:]} only after: {first}"
    return GateLine("open", title, " ".join(said))


def _met(jobs: str, gates: list[Gate], on: dt.date) -> GateLine:
    said = [
        sentence(
            f"noted for {_day(gate.met_on or on, on)}; that counts until "
            f"{_day(gate.counts_to or on, on)}, {gate.rule.counts}"
        )
        for gate in gates
    ]
    first = listed(tuple(gate.rule.title for gate in gates))
    return GateLine("met", f"{jobs[0].upper()}{jobs[1:]}: {first}", " ".join(dict.fromkeys(said)))


_SAY: dict[State, Callable[[str, list[Gate], dt.date], GateLine]] = {
    "late": _late,
    "open": _open,
    "met": _met,
}


def _takes(gate: Gate) -> str:
    return f"{gate.days} {'working ' if gate.rule.working_days else ''}days"


def _weekday(day: dt.date, on: dt.date) -> str:
    return f"{day:%A} {_day(day, on)}"


def _named(gate: Gate) -> str:
    title = uncapped(gate.job)
    return f"{title} ({gate.area})" if gate.area else title


def _day(day: dt.date, on: dt.date) -> str:
    return say_date(day, relative_to=on)


def plan_lines(advice: Advice) -> tuple[str, ...]:
    """One line for each day of work that is still to come, and one for the watering after it."""
    plan, on = advice.plan, advice.on
    dropped = tuple(_no_longer(advice))
    if plan is None:
        return dropped
    lines = [day_line(day, plan, advice.gates) for day in plan.days if day.date >= on]
    lines += dropped
    sown = plan.sown
    if sown is not None and on <= plan.ends:
        after = max(sown + dt.timedelta(days=1), on)
        first, last = (say_date(day, relative_to=on) for day in (after, plan.ends))
        lines.append(
            f"From {after:%A} {first} to about {last}: somebody waters the seed, working days too."
        )
    return tuple(lines)


def _no_longer(advice: Advice) -> Iterator[str]:
    """`No overseeding (front) on Sunday 9 Sep: ruled out until 24 Aug 2019.`"""
    for (date, id, area), part in advice.dropped.items():
        item = advice.item(id, part)
        why = why_barred(advice.case.limits, date) or uncapped(
            answer_of(advice, item, amounts=()).headline
        )
        day = f"{date:%A} {say_date(date, relative_to=advice.on)}"
        yield f"No {item.operation.title.lower()} ({area}) on {day}: {why}."


def _fewer_hours(day: PlannedDay, case: Case) -> str:
    """`you have from 09:00 to 11:00` on a day whose plan needs more; empty where it fits."""
    spans = spans_on(case.limits.work, day.date)
    # A plan may go on over a break between two spans, but not before or after all of them.
    if not spans or (spans[0][0] <= day.start and day.end <= spans[-1][1]):
        return ""
    return f"you have {listed(tuple(map(say_span, spans)))}"


def day_line(day: PlannedDay, plan: KeptPlan, gates: Gates) -> str:
    """`Saturday 5 Sep, 09:00 to 12:00: low mowing (front), overseeding (back).`

    Work whose gates can no longer be had in time has no hour: it is named as what is left out.
    """
    on, book = gates.on, gates.case.book
    areas: dict[str, list[str]] = {}
    waits: dict[str, str] = {}
    barred: dict[str, list[str]] = {}
    for id, area in day.work:
        title = book.operations[id].title.lower() if id in book.operations else id
        found = gates_of_work(gates, plan, day.date, id, area)
        if any(gate.state == "late" for gate in found):
            barred.setdefault(title, []).append(area)
            continue
        areas.setdefault(title, []).append(area)
        if any(gate.state == "open" for gate in found):
            waits[title] = f", only after: {only_after(found, on)}"
    when = f"{day.date:%A} {say_date(day.date, relative_to=on)}"
    said = []
    if areas:
        jobs = tuple(
            f"{title} ({listed(tuple(where))}{waits.get(title, '')})"
            for title, where in areas.items()
        )
        said.append(f"{when}, {clock(day.start)} to {clock(day.end)}: {listed(jobs)}.")
        if fewer := _fewer_hours(day, gates.case):
            said.append(f"But {fewer}: plan that day anew.")
    if barred:
        jobs = tuple(f"{title} ({listed(tuple(where))})" for title, where in barred.items())
        said.append(
            f"{'' if areas else f'{when}: '}No {listed(jobs)}: what has to be seen to first is not."
        )
    return " ".join(said)
