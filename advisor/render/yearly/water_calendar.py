"""A water plan as calendar events: one for each turn, with its zones in the text."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator
from zoneinfo import ZoneInfo

from advisor.base.dates import clock
from advisor.planning.water_turns import Run
from advisor.planning.waterplan import WaterPlan
from advisor.render.yearly.calendar_file import Timed


def water_events(plan: WaterPlan) -> Iterator[Timed]:
    """Events in UTC; the same plan gives the same ones. Turns are an hour or more apart."""
    zone = ZoneInfo(plan.case.site.place.time_zone or "UTC")
    key = hashlib.sha256(plan.case.site.name.encode()).hexdigest()[:12]
    for day in plan.days:
        for number, turn in enumerate(_turns(day.runs), 1):
            start, end = (_moment(day.date, m, zone) for m in (turn[0].start, turn[-1].end))
            text = "\n".join(f"{clock(r.start)} {r.zone} {r.end - r.start} min" for r in turn)
            uid = f"water-{day.date}-{number}-{key}@turf-windows"
            minutes = sum(run.end - run.start for run in turn)
            yield Timed(uid, plan.on, start, end, f"Water the lawn, {minutes} min", text)


def _turns(runs: tuple[Run, ...]) -> list[list[Run]]:
    turns: list[list[Run]] = []
    for run in runs:
        if turns and run.start - turns[-1][-1].end < 60:
            turns[-1].append(run)
        else:
            turns.append([run])
    return turns


def _moment(date: dt.date, minutes: int, zone: ZoneInfo) -> dt.datetime:
    clock_time = dt.time(minutes // 60, minutes % 60)
    return dt.datetime.combine(date, clock_time, zone).astimezone(dt.UTC)
