"""The plan that a keeper has settled on, kept in the site's folder for the pages that follow it."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from advisor.base.files import write_whole
from advisor.base.json_text import from_json
from advisor.base.problems import BadInput, Place

if TYPE_CHECKING:
    # Who reads a kept plan need not wait for the planner.
    from advisor.planning.workplan import WorkPlan

PLAN_FILE = "plan.json"
FORMAT = 1
SEED_WATER_DAYS = 21
"""New seed is watered for about three weeks (the rule files say how)."""
_SOWINGS = ("overseeding", "new_seeding", "patch_repair", "spring_seeding")


@dataclass(frozen=True)
class PlannedDay:
    """start, end: minutes after midnight. work: (operation, area) in order."""

    date: dt.date
    start: int
    end: int
    work: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class KeptPlan:
    """made: the day on which it was settled. days: those with work, in order."""

    made: dt.date
    days: tuple[PlannedDay, ...]

    @property
    def first(self) -> dt.date:
        return self.days[0].date

    @property
    def last(self) -> dt.date:
        return self.days[-1].date

    def day_of(self, operation: str) -> dt.date | None:
        """The first day on which an operation is planned."""
        return next((d.date for d in self.days if operation in {id for id, _ in d.work}), None)

    @property
    def sown(self) -> dt.date | None:
        """The last day on which seed is sown."""
        days = [d.date for d in self.days if {id for id, _ in d.work} & set(_SOWINGS)]
        return days[-1] if days else None

    @property
    def ends(self) -> dt.date:
        """The last day that it still matters: of the work, or of watering the seed."""
        return self.last if self.sown is None else self.sown + dt.timedelta(days=SEED_WATER_DAYS)


def keep_plan(plan: WorkPlan) -> Path:
    """Keep the plan; an earlier one is replaced. Raises `BadInput` for a plan without work."""
    days = []
    for day in plan.days:
        slots = [s for s in plan.plan.slots if s.date == day.date]
        if slots:
            tasks = [plan.by_id[s.task] for s in slots]
            days.append(
                {
                    "date": day.date.isoformat(),
                    "start": min(s.start for s in slots),
                    "end": max(s.end for s in slots),
                    "work": [list(x) for x in dict.fromkeys((t.operation, t.area) for t in tasks)],
                }
            )
    file = plan.lawn.folder / PLAN_FILE
    if not days:
        raise BadInput.at(Place(str(file)), "the plan holds no work, so there is nothing to keep")
    told = {"format": FORMAT, "made": plan.on.isoformat(), "days": days}
    write_whole(file, json.dumps(told, indent=1) + "\n", own=True)
    return file


def read_plan(folder: Path, on: dt.date) -> KeptPlan | None:
    """The plan kept by `on` that still matters then, or None. Raises `BadInput` if damaged."""
    file = folder / PLAN_FILE
    if not file.is_file():
        return None
    try:
        told = from_json(file.read_text(encoding="utf-8"))
        if told["format"] != FORMAT:
            raise ValueError(f"format {told['format']}")
        days = tuple(
            PlannedDay(
                date=dt.date.fromisoformat(d["date"]),
                start=int(d["start"]),
                end=int(d["end"]),
                work=tuple((str(id), str(area)) for id, area in d["work"]),
            )
            for d in told["days"]
        )
        plan = KeptPlan(dt.date.fromisoformat(told["made"]), days)
        matters = plan.made <= on <= plan.ends
    except (OSError, ValueError, KeyError, TypeError, IndexError) as error:
        what = f"the kept plan cannot be read ({error}); delete it, or make it anew with 'workplan'"
        raise BadInput.at(Place(str(file)), what) from None
    return plan if matters else None
