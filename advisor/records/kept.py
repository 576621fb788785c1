"""What the site's folder keeps: the digests that were sent, and the plan that was settled on."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import Any, Literal

from advisor.base.files import write_whole
from advisor.base.problems import BadInput, Place
from advisor.base.record import Record, replace
from advisor.base.text import from_json

KEPT_FOLDER = "digests"
FORMATS = (1, 2)


Edge = Literal["opens", "closes"]
_LISTS = ("do", "hold", "wait", "coming", "measure", "leave", "missed")
"""Where the first form of a kept digest has its answers."""


class Said(Record, frozen=True):
    """What was said of a job on a part before.

    edges: the usual first and last day of its season. held: how each comparison that was told came
    out, by its gate, fact and limit.
    """

    verdict: str
    edges: Mapping[Edge, dt.date]
    held: Mapping[tuple[str, str, str], bool | None]


Earlier = Mapping[tuple[str, str], Said]
"""What was said, by job and part."""


def keep(site: Path, day: dt.date, data: dict[str, Any]) -> Path:
    """Write a digest's data under its day; the same day again replaces it, whole or not at all.

    Raises `BadInput` if the folder cannot be written.
    """
    file = site / KEPT_FOLDER / f"{day.isoformat()}.json"
    try:
        file.parent.mkdir(exist_ok=True)
    except OSError as error:
        raise BadInput.at(Place(str(file)), f"cannot be written: {error.strerror}") from None
    write_whole(file, json.dumps(data, ensure_ascii=False, indent=1) + "\n", own=True)
    return file


def last_kept(site: Path, before: dt.date) -> Earlier | None:
    """What the last digest kept before a day said, or None.

    Raises `BadInput` if that file has been damaged.
    """
    files = sorted((site / KEPT_FOLDER).glob("????-??-??.json"), reverse=True)
    earlier = [file for file in files if file.stem < before.isoformat()]
    if not earlier:
        return None
    file = earlier[0]
    try:
        data = from_json(file.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        what = f"the kept digest cannot be read ({error}); delete it to go on without"
        raise BadInput.at(Place(str(file)), what) from None
    if not isinstance(data, dict) or data.get("format") not in FORMATS:
        what = "this is no kept digest of a format that is known; delete it to go on without"
        raise BadInput.at(Place(str(file)), what)
    try:
        return earlier_of(data)
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        what = (
            f"the kept digest has been damaged ({type(error).__name__}: {error}); delete it to go "
            "on without"
        )
        raise BadInput.at(Place(str(file)), what) from None


def earlier_of(data: Mapping[str, Any]) -> Earlier:
    """What a kept digest said, of this form or of the first one.

    Raises `KeyError`, `TypeError` or `ValueError` for one that is neither.
    """
    if data["format"] == 1:
        told = [item for name in _LISTS for item in data.get(name, ())]
        return {(i["operation"], i["area"]): _said(i, i.get("window")) for i in told}
    return {
        (i["job"], i["part"]): _said(i, i["season"] and i["season"]["possible"])
        for i in data["items"]
    }


def _said(item: Mapping[str, Any], season: Mapping[str, Any] | None) -> Said:
    edges: dict[Edge, dt.date] = {}
    if season:
        edges = {
            "opens": dt.date.fromisoformat(season["opens"]["p50"]),
            "closes": dt.date.fromisoformat(season["closes"]["p50"]),
        }
    held = {(r["gate"], r["fact"], r["limit"]): r["holds"] for r in item["reasons"]}
    return Said(str(item["verdict"]), edges, held)


PLAN_FILE = "plan.json"
WHOLE = "lawn"
"""What a plan calls a part that is the whole lawn."""
FORMAT = 1
SEED_WATER_DAYS = 21
"""New seed is watered for about three weeks (the rule files say how)."""
SOWINGS = ("overseeding", "new_seeding", "spring_seeding", "rye_overseeding", "patch_repair")
"""Jobs after which somebody waters until the seed is up."""


class PlannedDay(Record, frozen=True):
    """start, end: minutes after midnight. work: (operation, area) in order.

    steps: those of the day, by the plan's own names, of work that is spread over several days.
    """

    date: dt.date
    start: int
    end: int
    work: tuple[tuple[str, str], ...]
    steps: tuple[str, ...] = ()


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

    def begins(self, operation: str, area: str, since: dt.date) -> dt.date | None:
        """The first day, from `since` on, of a job on a part; it may take several."""
        days = (d.date for d in self.days if d.date >= since and (operation, area) in d.work)
        return next(days, None)

    @property
    def sown(self) -> dt.date | None:
        """The last day on which seed is sown."""
        days = [d.date for d in self.days if {id for id, _ in d.work} & set(SOWINGS)]
        return days[-1] if days else None

    def without(self, shut: Callable[[dt.date, str, str], bool]) -> KeptPlan | None:
        """The plan but for the work of which `shut` is true, by day, operation and area."""
        days = (
            replace(d, work=tuple(w for w in d.work if not shut(d.date, *w))) for d in self.days
        )
        left = tuple(day for day in days if day.work)
        return replace(self, days=left) if left else None

    @property
    def ends(self) -> dt.date:
        """The last day that it still matters: of the work, or of watering the seed."""
        return self.last if self.sown is None else self.sown + dt.timedelta(days=SEED_WATER_DAYS)


def is_on(planned: str, areas: Collection[str]) -> bool:
    """Whether work planned for a part of the lawn, such as `front and back`, lies on one of these
    areas: what is one part when a plan is made may be several when it is read."""
    return planned == WHOLE or planned in areas or bool({*planned.split(" and ")} & {*areas})


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
            **({"steps": list(day.steps)} if day.steps else {}),
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
                steps=tuple(str(step) for step in d.get("steps", ())),
            )
            for d in told["days"]
        )
        if not days:
            raise ValueError("it holds no days")
        return KeptPlan(dt.date.fromisoformat(told["made"]), days)
    except (OSError, ValueError, KeyError, TypeError, IndexError) as error:
        what = f"the kept plan cannot be read ({error}); delete it, and settle on a plan anew"
        raise BadInput.at(Place(str(file)), what) from None
