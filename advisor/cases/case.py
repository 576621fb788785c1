"""One lawn on one day: all that is known of it, as plain data that names no folder."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import PurePath
from typing import TYPE_CHECKING

from advisor.base.problems import Place
from advisor.base.record import Record

if TYPE_CHECKING:
    from advisor.rulebook.model import RuleBook
    from advisor.site.journal import Journal
    from advisor.site.kept_digests import Earlier
    from advisor.site.kept_plan import KeptPlan
    from advisor.site.record import Site
    from advisor.weather.normals import MonthlyNormals
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


class Case(Record, frozen=True):
    """Everything the keeper told us, checked, on the day asked about.

    name: what messages call it, such as the folder that the keeper named. journal: all of it; who
    decides takes what was known on the day. weather and normals may be missing. `replace` with
    another `on` asks about another day: all else stays what was handed in.
    """

    on: dt.date
    name: str
    site: Site
    journal: Journal
    weather: WeatherTable | None
    normals: MonthlyNormals | None
    book: RuleBook
    kept: Kept = NOTHING_KEPT

    @property
    def plan(self) -> KeptPlan | None:
        """The plan that the keeper had settled on by the day, while it matters."""
        plan = self.kept.plan()
        return plan if plan is not None and plan.made <= self.on <= plan.ends else None

    @property
    def said(self) -> Earlier | None:
        """What the last digest kept before the day said."""
        return self.kept.digest(self.on)

    def place(self, file: str = "") -> Place:
        """Where a problem lies: in the case, or in one of its files."""
        return Place(str(PurePath(self.name, file)))
