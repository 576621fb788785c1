"""The plan that a keeper has settled on, and the file in the site's folder that keeps it."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

from advisor.base.files import write_whole
from advisor.base.json_text import from_json
from advisor.base.problems import BadInput, Place
from advisor.base.record import Record

PLAN_FILE = "plan.json"
WHOLE = "lawn"
"""What a plan calls a part that is the whole lawn."""
FORMAT = 1
SEED_WATER_DAYS = 21
"""New seed is watered for about three weeks (the rule files say how)."""
_SOWINGS = ("overseeding", "new_seeding", "patch_repair", "spring_seeding")


class PlannedDay(Record, frozen=True):
    """start, end: minutes after midnight. work: (operation, area) in order."""

    date: dt.date
    start: int
    end: int
    work: tuple[tuple[str, str], ...]


class KeptPlan(Record, frozen=True):
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


def write_plan(folder: Path, plan: KeptPlan) -> Path:
    """Keep the plan; an earlier one is replaced. Raises `BadInput` for a plan without work."""
    file = folder / PLAN_FILE
    if not plan.days:
        raise BadInput.at(Place(str(file)), "the plan holds no work, so there is nothing to keep")
    days = [
        {
            "date": day.date.isoformat(),
            "start": day.start,
            "end": day.end,
            "work": [list(each) for each in day.work],
        }
        for day in plan.days
    ]
    told = {"format": FORMAT, "made": plan.made.isoformat(), "days": days}
    write_whole(file, json.dumps(told, indent=1) + "\n", own=True)
    return file


def read_plan(folder: Path) -> KeptPlan | None:
    """The plan that was kept last, or None. Raises `BadInput` if it is damaged."""
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
        if not days:
            raise ValueError("it holds no days")
        return KeptPlan(dt.date.fromisoformat(told["made"]), days)
    except (OSError, ValueError, KeyError, TypeError, IndexError) as error:
        what = f"the kept plan cannot be read ({error}); delete it, or make it anew with 'workplan'"
        raise BadInput.at(Place(str(file)), what) from None
