"""What has to be seen to before a step may start, because somebody could be hurt otherwise."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from advisor.base.record import Record
from advisor.rulebook.evidence import Evidence

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
