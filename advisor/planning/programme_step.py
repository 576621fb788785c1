"""Where a part of the lawn stands in a programme, as plain records and as plain data."""

from __future__ import annotations

import datetime as dt
from typing import Any, Literal

from advisor.advice.item import Item, ItemDate
from advisor.base.record import Record
from advisor.cases.parts import Part
from advisor.rulebook.programme import Programme, ProgrammeJob, ThroughStep

StepState = Literal["done", "partly", "next", "planned", "waits", "left_out", "not_yet"]
"""partly: begun, and more of it is to come. next: nothing stands in its way today. planned: the
keeper has settled on a day. waits: see `WaitFor`. left_out: see `LeftOut`. not_yet: care that
begins only once the heart of the programme is done."""
WaitKind = Literal["gate", "season", "forerunner", "measurement", "hold"]
LeftOut = Literal["not_needed", "ruled_out", "too_late", "spare", "no_place", "passed"]
"""spare: a better job for the same end can still be had. no_place: what it hangs on is left out.
passed: its turn is over without a record of it."""
ProgrammeState = Literal["under_way", "due", "unsure", "brought_through"]
"""unsure: a fact that decides whether it applies is not known."""


class WaitFor(Record, frozen=True):
    """What a step waits for.

    what: the ids of gates or of jobs before it, or the names of facts; empty where the verdict's
    own reasons tell. until: when that is likely over, if that can be told; of a gate, the first day
    of work if it is seen to today.
    """

    kind: WaitKind
    what: tuple[str, ...] = ()
    until: dt.date | None = None


class Step(Record, frozen=True):
    """One job of a programme on one part of the lawn.

    item: as the advice has it; verdict and date are its own. done_on: the days in this run. times:
    how often it has to be done. first, last: between which days it falls in the order of the
    whole; None where nothing tells.
    """

    rule: ProgrammeJob | ThroughStep
    item: Item
    state: StepState
    done_on: tuple[dt.date, ...] = ()
    waits: tuple[WaitFor, ...] = ()
    why: LeftOut | None = None
    times: int = 1
    first: dt.date | None = None
    last: dt.date | None = None

    @property
    def job(self) -> str:
        return self.rule.job

    @property
    def care(self) -> bool:
        """Whether it follows the heart, to bring the work through."""
        return isinstance(self.rule, ThroughStep)

    @property
    def heart(self) -> bool:
        return isinstance(self.rule, ProgrammeJob) and self.rule.heart

    @property
    def date(self) -> ItemDate | None:
        """The one date of its item."""
        return self.item.date

    @property
    def counts(self) -> bool:
        """Whether it is known to belong to the programme on this lawn. Routine goes on untold, and
        counts only after the heart, or once it was noted."""
        if self.state == "left_out":
            return False
        known = self.heart or self.item.sure
        return self.care or bool(self.done_on) or (known and not self.item.operation.routine)

    @property
    def open(self) -> bool:
        """Whether something of it is still to be done."""
        return self.state not in ("done", "left_out")


class Standing(Record, frozen=True):
    """A programme on one part of the lawn.

    causes: the ids of those that are known. heart_on: the day on which its heart was done. first,
    last: between which days its jobs fall, those of the past among them. through: between which
    days it will have been brought through; None where nothing is to be, or nothing tells.
    """

    programme: Programme
    part: Part
    state: ProgrammeState
    steps: tuple[Step, ...]
    causes: tuple[str, ...] = ()
    heart_on: dt.date | None = None
    first: dt.date | None = None
    last: dt.date | None = None
    through: tuple[dt.date, dt.date] | None = None

    @property
    def counted(self) -> tuple[Step, ...]:
        """The steps that are known to belong to it on this lawn."""
        return tuple(step for step in self.steps if step.counts)

    @property
    def fits(self) -> bool:
        """Whether each open step has a day in the order of the whole."""
        open = (step for step in self.counted if step.open and step.first and step.last)
        return all(step.first <= step.last for step in open if step.first and step.last)

    @property
    def done(self) -> int:
        """How many steps are done, of those that `counted` holds."""
        return sum(step.state == "done" for step in self.counted)

    @property
    def next(self) -> Step | None:
        """The step whose turn it is: the first of those counted that is still open."""
        return next((step for step in self.counted if step.open), None)

    def step(self, job: str) -> Step:
        """Raises `StopIteration` for a job that is none of its steps."""
        return next(step for step in self.steps if step.job == job)


def standing_json(standing: Standing) -> dict[str, Any]:
    """A standing as plain data; dates are ISO."""
    turn = standing.next
    return {
        "programme": standing.programme.id,
        "title": standing.programme.title,
        "aim": standing.programme.aim,
        "part": standing.part.label,
        "state": standing.state,
        "causes": list(standing.causes),
        "done": standing.done,
        "of": len(standing.counted),
        "turn": turn and turn.job,
        "fits": standing.fits,
        "heart_on": _iso(standing.heart_on),
        "first": _iso(standing.first),
        "last": _iso(standing.last),
        "through": standing.through and [day.isoformat() for day in standing.through],
        "steps": [_step_json(step) for step in standing.steps],
    }


def _step_json(step: Step) -> dict[str, Any]:
    date = step.date
    return {
        "job": step.job,
        "title": step.item.operation.title,
        "says": step.rule.says,
        "heart": step.heart,
        "care": step.care,
        "state": step.state,
        "verdict": step.item.verdict,
        "date": date and {"kind": date.kind, "day": date.day.isoformat()},
        "done_on": [day.isoformat() for day in step.done_on],
        "times": step.times,
        "waits": [
            {"for": wait.kind, "what": list(wait.what), "until": _iso(wait.until)}
            for wait in step.waits
        ],
        "why": step.why,
        "first": _iso(step.first),
        "last": _iso(step.last),
    }


def _iso(day: dt.date | None) -> str | None:
    return day.isoformat() if day is not None else None
