"""A water plan as text to type into a controller, as a table, and for other programs."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from typing import Any

from advisor.answers.law import law_line
from advisor.base.dates import clock, say_date
from advisor.base.units import convert, show
from advisor.cases.case import laws_of
from advisor.planning.cycle_soak import longest_run
from advisor.planning.water_zones import ZoneUse
from advisor.planning.waterplan import WaterDay, WaterPlan
from advisor.render.digest.render import render
from advisor.rulebook.law import rules_on

FORMAT = 1
CAUTIONS = ("wet_hoses", "outdoor_cord", "clean_hardscape")


def waterplan_text(plan: WaterPlan) -> str:
    """The timetable for the terminal."""
    return render(
        "waterplan.txt",
        title=f"{plan.case.site.name}: water from {say_date(plan.days[0].date)}",
        allowed=plan.allowed,
        zones=tuple(_zone(plan, zone) for zone in plan.zones),
        days=tuple((_heading(day), tuple(_lines(day))) for day in plan.days),
        left=tuple(f"{_plain(left.zone)}: {left.why}" for left in plan.left),
        notes=tuple(_notes(plan)),
        mind=tuple(plan.case.book.cautions[id].short for id in CAUTIONS),
    )


def waterplan_csv(plan: WaterPlan) -> str:
    """One row for each run: date, start, zone, minutes."""
    out = io.StringIO()
    rows = csv.writer(out, lineterminator="\n")
    rows.writerow(("date", "start", "zone", "minutes"))
    for day in plan.days:
        rows.writerows((day.date, clock(r.start), r.zone, r.end - r.start) for r in day.runs)
    return out.getvalue()


def waterplan_json(plan: WaterPlan) -> dict[str, Any]:
    """Dates are ISO, times local, depths in mm, water in litres, money the keeper's own."""
    return {
        "format": FORMAT,
        "rulebook": plan.case.book.hash,
        "site": plan.case.site.name,
        "on": plan.on.isoformat(),
        "allowed": plan.allowed,
        "days": [
            {
                "date": day.date.isoformat(),
                "forecast": day.forecast,
                "why": dict(day.why),
                "no_room_minutes": dict(day.gave_up),
                "runs": [
                    {"zone": r.zone, "start": clock(r.start), "minutes": r.end - r.start}
                    for r in day.runs
                ],
            }
            for day in plan.days
        ],
        "left": {left.zone: left.why for left in plan.left},
        "litres": round(plan.litres),
        "cost": _cost(plan),
    }


def _zone(plan: WaterPlan, zone: ZoneUse) -> str:
    units = plan.case.site.unit_system
    what = f"seed of {say_date(zone.sown)}" if zone.sown else "grown turf"
    size, rate = show(zone.area_m2, "m2", units), show(zone.rate, "mm/h", units)
    text = f"{_plain(zone.name)}: {size} of {what}, {rate}"
    if zone.uniformity is not None:
        text += f", lowest quarter {zone.uniformity:.0%}"
    most = longest_run(zone.rate, zone.intake, zone.slope)
    if most < 24 * 60:
        text += f"; at most {int(most)} min at once, or it runs off"
    return text


def _heading(day: WaterDay) -> str:
    counted = " (rain of the forecast counted)" if day.forecast else ""
    return f"{day.date:%a} {say_date(day.date)}{counted}"


def _lines(day: WaterDay) -> Iterator[str]:
    for run in day.runs:
        yield f"{clock(run.start)}  {_plain(run.zone)}  {run.end - run.start} min"
    # Zones of the same stage say the same; once is enough.
    same: dict[str, list[str]] = {}
    for zone, why in day.why.items():
        same.setdefault(why, []).append(_plain(zone))
    for why, zones in same.items():
        yield f"{', '.join(zones)}: {why}"
    for zone, minutes in day.gave_up.items():
        yield (
            f"{_plain(zone)}: NO ROOM for {minutes} min; allow other hours ('--after', "
            "'--before'), give it another day, or water it by hand"
        )


def _notes(plan: WaterPlan) -> Iterator[str]:
    site, units = plan.case.site, plan.case.site.unit_system
    used = plan.litres
    amount = f"{convert(used, 'L', 'gal'):,.0f} gal" if units == "us" else f"{used / 1000:,.1f} m³"
    cost = _cost(plan)
    paid = f", {cost:,.2f} at your price" if cost is not None else ""
    yield f"Water: {amount}{paid}."
    if not all(day.forecast for day in plan.days):
        yield "Where no forecast reaches, use is that of usual weather and no rain is counted."
    yield (
        "Rain that falls counts off: skip the next turn after it, and ask again each morning. "
        "Watch the first run of each zone: where water starts to run, stop sooner."
    )
    if any(zone.sown for zone in plan.zones):
        yield (
            "Three short turns a day for about two weeks, and ½ in (13 mm) of first soaking, are "
            "common practice; Iowa State waters seed twice a day, three or four times in sun and "
            "wind, and less often from seedlings of 1–2 in (25–50 mm) on. Go by the surface."
        )
        yield (
            "First mowing: once the seedlings stand a third above their mowing height. Leave out "
            "the turns of the evening and morning before, so that wheels do not tear them."
        )
    rules = rules_on(laws_of(plan.case), ["watering"])
    for rule in rules:
        but = f" (except {'; '.join(rule.exceptions)})" if rule.exceptions else ""
        yield f"Law: {rule.says}{but}. This timetable does not know your days: keep to them."
    if site.water.restrictions_checked is None:
        yield "You have not noted that you looked up local watering rules: do so before you start."
    yield law_line(plan.case)


def _plain(name: str) -> str:
    return name.replace("_", " ")


def _cost(plan: WaterPlan) -> float | None:
    price = plan.case.site.water.price
    if price is None:
        return None
    us = plan.case.site.unit_system == "us"
    sold = convert(plan.litres, "L", "gal") if us else plan.litres
    return round(price * sold / 1000, 2)
