"""One job on one part of a lawn, as every view tells it."""

from __future__ import annotations

import datetime as dt
from typing import Literal

from advisor.base.record import Record
from advisor.cases.parts import Part
from advisor.decide.verdicts.decide import Decision
from advisor.decide.windows.interval import Spread
from advisor.rulebook.advice import Conflict
from advisor.rulebook.conditions import Truth
from advisor.rulebook.model import Operation, VerdictName

DateKind = Literal["deadline", "appointment", "sign", "routine", "opening", "release"]
"""deadline: the cautious end, which the season outlasts in nine years of ten. appointment: a day
that the keeper has settled on. sign: about when what only the keeper can see has come. routine:
when next; it is never told as a day by which. opening: the season's. release: when what forbids or
holds it ends."""

Weight = Literal["life", "year", "season", "weeks", "none"]
"""What is lost with an item that is missed: something alive that needs care daily; the chance for
most of a year; until another season of the year, or an equal chance at a price; some weeks; or
nothing, because it goes on anyway."""


class ItemDate(Record, frozen=True):
    """The one date of an item.

    watch: for a sign, the facts that only the keeper can see. sake: of a deadline that another job
    sets, that job's id.
    """

    kind: DateKind
    day: dt.date
    watch: tuple[str, ...] = ()
    sake: str = ""


class Span(Record, frozen=True):
    """Days between which something may be done, over the years that know. never: years without."""

    opens: Spread
    closes: Spread
    years: int
    never: int = 0


class Season(Record, frozen=True):
    """The season that a verdict speaks of.

    possible: when the work may be done. best: its best part; None where the rule file tells none
    apart or no year has it. printed: what is printed for the region; None where nothing is known.
    """

    id: str
    title: str
    possible: Span
    best: Span | None = None
    printed: Span | None = None


class Item(Record, frozen=True):
    """What the advice says of one job on one part of the lawn.

    date: None where no day can be told, or none matters. weight: see `Weight`. starts: the first
    day on which it can be done as far as anybody can tell: today while its season is open. aside:
    what it stands back for, which is planned here. spare_for: the id of a better job for the same
    end that can still be had. appointed: the day that the keeper has settled on, whatever its
    date says.
    """

    decision: Decision
    part: Part
    date: ItemDate | None
    weight: Weight
    starts: dt.date | None
    aside: Conflict | None = None
    spare_for: str = ""
    appointed: dt.date | None = None

    @property
    def key(self) -> tuple[str, str]:
        """The job's id and the label of the part; empty for the whole lawn."""
        return self.operation.id, self.part.label

    @property
    def operation(self) -> Operation:
        return self.decision.operation

    @property
    def verdict(self) -> VerdictName:
        return self.decision.verdict

    @property
    def need(self) -> Truth:
        """None where it is not known."""
        return self.decision.judgement.truths["need"]

    @property
    def sure(self) -> bool:
        """Whether it is known to be needed."""
        return self.need is True

    @property
    def goes_on(self) -> bool:
        """Whether it is care that goes on, and waits for no free day."""
        return self.operation.routine or "watering" in self.operation.laws

    @property
    def raised(self) -> bool:
        """Whether it concerns this lawn: all but matters of their own that nobody has raised."""
        return not self.operation.quiet or self.sure

    @property
    def barred(self) -> bool:
        """Whether law, label or what is planned shuts it out for the season that is told of."""
        decision = self.decision
        return decision.verdict == "ruled_out" or decision.for_good or decision.forbidden_ahead

    @property
    def off(self) -> bool:
        """Whether there is nothing to do: not needed, shut out, or over with no season in sight."""
        over = self.verdict == "missed" and self.starts is None
        return self.verdict == "not_needed" or self.need is False or self.barred or over

    @property
    def taken_up(self) -> bool:
        """Whether plans, lists, free days and calendars take it up; each by how near it is."""
        return (
            not (self.off or self.goes_on)
            and self.raised
            and self.aside is None
            and not self.spare_for
        )

    def near(self, days: int) -> bool:
        """Whether it can be done within so many days."""
        return self.starts is not None and (self.starts - self.decision.on).days <= days

    def order(self) -> tuple[bool, int, dt.date]:
        """What comes first: what is known to be needed, by the cost of missing it, by its day."""
        day = self.date.day if self.date is not None else dt.date.max
        return not self.sure, HEAVIEST_FIRST.index(self.weight), day


HEAVIEST_FIRST: tuple[Weight, ...] = ("life", "year", "season", "weeks", "none")
