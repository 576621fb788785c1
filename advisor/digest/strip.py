"""The coming free days with their chances, and the soil, in a line each."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator

from advisor.advice.free_days import FreeRun, free_runs
from advisor.advice.item import Item
from advisor.answers.sources import Line
from advisor.answers.words import TENTHS, in_ten
from advisor.base.dates import ONE_DAY, say_date
from advisor.base.units import show
from advisor.digest.choose import Job, soonest
from advisor.digest.week import Week
from advisor.planning.fit_days import fit_days
from advisor.planning.free_fit import run_fit

RUNS, LOOK_DAYS = 4, 35
NEAR_DAYS = 28


def strip_of(week: Week, shown: Iterable[Job]) -> Iterator[Line]:
    """The chances of the work that the rest serves on the next free days; the soil's warmth."""
    item = _leading(week, shown)
    if item is not None and (said := _chances(week, item)):
        yield Line(f"Free days for {item.operation.title.lower()}", said)
    if soil := _soil(week):
        yield Line("Soil", soil)


def _leading(week: Week, shown: Iterable[Job]) -> Item | None:
    """Of the season's work that weighs most, the job that comes last in working order."""
    rank = week.advice.case.book.working_rank
    items = [soonest(job) for job in shown if not job[0].item.goes_on]
    if not items:
        items = [i for i in week.advice.taken_up() if i.sure and i.near(NEAR_DAYS)]
    if not items:
        return None
    heaviest = min(item.order()[:2] for item in items)
    return max((i for i in items if i.order()[:2] == heaviest), key=lambda i: rank[i.operation.id])


def _chances(week: Week, item: Item) -> str:
    """`5–7 Sep nearly every year · 12–13 Sep 8 years in 10`, as the free days say it."""
    gates = week.advice.gates
    fit = fit_days(item.part.decider, item.operation.id)
    said = []
    for run in free_runs(week.advice.case.site, week.first, week.first + LOOK_DAYS * ONE_DAY)[
        :RUNS
    ]:
        found = run_fit(item, fit, run, gates)
        tenths = round(found.chance * TENTHS) if found is not None else 0
        said.append(f"{_days(run, week.first)} {in_ten(tenths)}")
    return " · ".join(said)


def _days(run: FreeRun, on: dt.date) -> str:
    first, last = run.first, run.last
    if first == last:
        return say_date(first, relative_to=on)
    start = str(first.day) if first.month == last.month else say_date(first)
    return f"{start}–{say_date(last, relative_to=on)}"


def _soil(week: Week) -> str:
    """`74 °F; 2 °F warmer than the middle of 29 years`."""
    facts = week.advice.parts[0].decider.day.facts
    warmth = facts["soil_temperature_4in"].value
    if not isinstance(warmth, float):
        return ""
    now = show(warmth, "°C", week.advice.case.site.unit_system)
    return f"{now}; {week.soil.removeprefix('the soil is ')}" if week.soil else now
