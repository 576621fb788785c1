"""What is said to an answer, what stands against a job, and what must be seen to before it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from advisor.base.record import Record
from advisor.rulebook.actives import Options, Standing, with_options
from advisor.rulebook.conditions import Condition, Evidence
from advisor.rulebook.order import Strength

VerdictName = Literal["do", "wait", "hold", "not_needed", "missed", "ruled_out", "measure"]


class Conflict(Record, frozen=True):
    """Something that forbids the operation while `when` is true.

    wait: the declared wait that it follows from (`Wait.name`); empty for one of the file's own.
    """

    id: str
    when: Condition
    says: str
    strength: Strength
    evidence: tuple[str, ...] = ()
    grasses: frozenset[str] = frozenset()
    wait: str = ""


class Advice(Record, frozen=True):
    """A sentence added to an answer with one of `verdicts` while `when` is true.

    wait: as in `Conflict`. options: active ingredients to choose from, said after it. warns: those
    that it speaks against; where the law leaves none of them it is not said. hired: it sends the
    keeper to whoever may do it for hire.
    """

    id: str
    says: str
    verdicts: frozenset[VerdictName]
    when: Condition | None = None
    instead: str | None = None
    grasses: frozenset[str] = frozenset()
    evidence: tuple[str, ...] = ()
    wait: str = ""
    options: Options | None = None
    warns: frozenset[str] = frozenset()
    hired: bool = False

    def said(self, law: Standing) -> str:
        """What is said where the law is so; empty for nothing."""
        if (self.warns and self.warns <= law.left_out) or (self.hired and law.nobody_hired):
            return ""
        return with_options(self.says, self.options, law.left_out)


Tool = Literal["machine", "hand"]


class BreaksSoil(Record, frozen=True):
    """That a job breaks the soil: from and to how deep, mm; by a machine or by hand; with what."""

    depth_mm: tuple[float, float]
    tool: Tool
    how: str
    evidence: tuple[str, ...]


class Elsewhere(Record, frozen=True):
    """Another time ahead, days as in `GateRule.before`, in one country or a part of it."""

    country: str
    subdivision: str | None
    before: int


class GateRule(Record, frozen=True):
    """One gate of rules/gates.yaml.

    call: whom to call, by country. title, missing, ask: what holds when it is met, what does not
    when it is not, what to do. protects: jobs that break the soil by these means. before: days
    (working_days: Monday to Friday without holidays) that it takes; 0 where it can be seen to at
    once. met_by: records that meet it, each with the value that does. note: the words in which a
    keeper records it; none: those that say there is nothing to see to. counts: what else ends a
    record that meets it.
    """

    id: str
    title: str
    missing: str
    ask: str
    call: Mapping[str, str]
    protects: frozenset[Tool]
    before: int
    working_days: bool
    elsewhere: tuple[Elsewhere, ...]
    range: str
    met_by: Mapping[str, bool]
    note: str
    none: str
    counts: str
    evidence: tuple[Evidence, ...]

    def asked(self, country: str | None) -> str:
        """What to do, and whom to call where that is known."""
        call = self.call.get(country or "")
        return f"{self.ask} (call {call})" if call else self.ask

    def days_ahead(self, country: str | None, subdivision: str | None) -> int:
        """The days that it takes at a place."""
        for place in self.elsewhere:
            if place.country == country and place.subdivision in (None, subdivision):
                return place.before
        return self.before
