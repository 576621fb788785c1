"""One lawn on one day: all that is known of it and its laws, as plain data that names no folder."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from functools import cached_property
from pathlib import PurePath
from typing import TYPE_CHECKING

from advisor.base.commands import command
from advisor.base.problems import Place
from advisor.base.record import Record
from advisor.facts.told_facts import LocalLaw
from advisor.rulebook.law import FEEDING_SUBJECTS, Laws, laws_at, left_by, rules_on

if TYPE_CHECKING:
    from advisor.records.journal import Journal
    from advisor.records.kept import Earlier, KeptPlan
    from advisor.records.limits import Limits
    from advisor.records.record import Site
    from advisor.rulebook.model import RuleBook
    from advisor.weather.gaps import MonthlyNormals
    from advisor.weather.table import WeatherTable


def _no_plan() -> None:
    return None


def _no_digest(before: dt.date) -> None:
    return None


class Kept(Record, frozen=True):
    """What was kept of a lawn. plan: the last one settled on. digest: what the last digest kept
    before a day said.

    Whoever makes a case hands these in. They are called when somebody asks, as most do not; so a
    damaged plan or digest stops only who needs it. Both raise `BadInput` for a damaged file.
    """

    plan: Callable[[], KeptPlan | None] = _no_plan
    digest: Callable[[dt.date], Earlier | None] = _no_digest


NOTHING_KEPT = Kept()
_UNDATED = frozenset({"weather"})
"""Commands about a lawn that take no day."""


class Case(Record, frozen=True, dict=True):
    """Everything the keeper told us, checked, on the day asked about.

    name: what messages call it, such as the folder that the keeper named. journal: all of it; who
    decides takes what was known on the day. weather and normals may be missing. folder: the site's,
    as the keeper would type it; empty where there is none, and then no view prints a command. past:
    the day of the past that the keeper asked about. `replace` with another `on` asks about another
    day: all else stays what was handed in.
    """

    on: dt.date
    name: str
    site: Site
    journal: Journal
    weather: WeatherTable | None
    normals: MonthlyNormals | None
    book: RuleBook
    kept: Kept = NOTHING_KEPT
    folder: str = ""
    past: dt.date | None = None

    @cached_property
    def limits(self) -> Limits:
        """What the keeper sets bounds to, as it stands on the day: in site.yaml and in notes.

        Every view asks here; nothing else reads the site's own.
        """
        own = self.site.limits
        noted = [e for e in self.journal.as_of(self.on).standing if e.kind == "limit"]
        if not noted:
            return own
        from advisor.records.noted_limits import with_noted

        return with_noted(own, noted, self.on)

    @property
    def plan(self) -> KeptPlan | None:
        """The plan that the keeper had settled on by the day, while it matters."""
        plan = self.kept.plan()
        return plan if plan is not None and plan.made <= self.on <= plan.ends else None

    @property
    def said(self) -> Earlier | None:
        """What the last digest kept before the day said."""
        return self.kept.digest(self.on)

    def command(self, name: str, *words: str, option: str = "") -> str:
        """A command about this lawn, to be typed as it stands; empty if it has no folder."""
        if not self.folder:
            return ""
        dated = self.past is not None and name not in _UNDATED
        options = (*(("--on", f"{self.past}") if dated else ()), *filter(None, [option]))
        if any(word.startswith("-") for word in words):
            return command(name, self.folder, *options, "--", *words)
        return command(name, self.folder, *words, *options)

    def place(self, file: str = "") -> Place:
        """Where a problem lies: in the case, or in one of its files."""
        return Place(str(PurePath(self.name, file)))


def laws_of(case: Case) -> tuple[Laws, ...]:
    """The laws that were read for the lawn's place."""
    place = case.site.place
    return laws_at(case.book.laws, place.country, place.subdivision, place.county, place.town)


def local_law(case: Case) -> LocalLaw:
    """What the day's facts need of the laws of the place."""
    found = laws_of(case)
    law = left_by(found, case.on)
    bans = rules_on(found, ["blackout"])
    return LocalLaw(
        checked=bool(rules_on(found, FEEDING_SUBJECTS)),
        bans=tuple((r.first, r.last) for r in bans if r.first is not None and r.last is not None),
        phosphorus=True if rules_on(found, ["phosphorus"]) else None,
        left_out=law.left_out,
        pesticides=law.all_barred or None,
    )
