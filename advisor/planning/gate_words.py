"""Gates in words: the same few sentences in every view."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.answers.words import listed, sentence
from advisor.base.dates import say_date
from advisor.planning.gates import Gate, State

_ORDER: tuple[State, ...] = ("late", "open", "met")
_HEADS: dict[State, str] = {"late": "Stop", "open": "First", "met": "Seen to"}


@dataclass(frozen=True)
class GateLine:
    """A gate as a view shows it: one word, a title, what holds, and below it what to do."""

    state: State
    title: str
    says: str
    more: tuple[str, ...] = ()

    @property
    def head(self) -> str:
        """What stands before it."""
        return _HEADS[self.state]


def gate_lines(gates: Iterable[Gate], on: dt.date) -> tuple[GateLine, ...]:
    """One line for each gate and day of work, with all the jobs that it holds; what stops first."""
    same: dict[tuple[State, str, dt.date], list[Gate]] = {}
    for gate in gates:
        same.setdefault((gate.state, gate.rule.id, gate.work), []).append(gate)
    ordered = sorted(same.items(), key=lambda item: (_ORDER.index(item[0][0]), item[0][2]))
    return tuple(_line(group, on) for _, group in ordered)


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


def _line(group: list[Gate], on: dt.date) -> GateLine:
    gate, rule = group[0], group[0].rule
    jobs = listed(tuple(dict.fromkeys(_named(g) for g in group)))
    jobs = jobs[0].upper() + jobs[1:]
    work = f"{gate.work:%A} {_day(gate.work, on)}"
    takes = f"{gate.days} {'working ' if rule.working_days else ''}days"
    if gate.state == "met":
        met_on, until = gate.met_on or on, gate.counts_to or on
        says = f"noted for {_day(met_on, on)}; that counts until {_day(until, on)}"
        return GateLine("met", f"{jobs}: {rule.title}", sentence(f"{says}, {rule.counts}"))
    once = f'once done, note it: advisor note … "{rule.note}"'
    if rule.none:
        once += f', or "{rule.none}" if there are none'
    if gate.state == "late":
        first = f"{gate.earliest:%A} {_day(gate.earliest, on)}"
        says = f"{rule.missing}, and could not be in time for {work}: it takes {takes}"
        now = f"now: {rule.ask}; the first day is then {first}"
        title = f"No {jobs[0].lower()}{jobs[1:]}"
        return GateLine("late", title, sentence(says), (f"{sentence(now)} {sentence(once)}",))
    title = f"{jobs} only after: {rule.title}"
    if not gate.days:
        return GateLine("open", title, sentence(f"before you begin: {rule.ask}"), (sentence(once),))
    when = f"by {_day(gate.by, on)}" if gate.by > on else "now"
    says = f"{when}: {rule.ask}, for work on {work}"
    says += f"; it takes {takes}"
    if gate.earliest > on:
        says += f", so not before {gate.earliest:%A} {_day(gate.earliest, on)}"
    return GateLine("open", title, sentence(says), (sentence(once),))


def _named(gate: Gate) -> str:
    title = gate.operation.title
    title = title[0].lower() + title[1:]
    return f"{title} ({gate.area})" if gate.area else title


def _day(day: dt.date, on: dt.date) -> str:
    return say_date(day, relative_to=on)
