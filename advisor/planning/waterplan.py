"""The water programme of some days: which zone runs when, how long, and what it uses."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from advisor.base.problems import BadInput, Place
from advisor.base.record import Record
from advisor.base.units import whole_up
from advisor.cases.case import Case
from advisor.cases.daylight import daylight
from advisor.cases.parts import parts_on
from advisor.facts.axis import Axis
from advisor.facts.water_facts import FRESH_DAYS
from advisor.planning.cycle_soak import Cycles, split
from advisor.planning.irrigation_audit import run_minutes
from advisor.planning.water_stages import SEED_DAYS, Wanted, Weather, seed_day, turf_days
from advisor.planning.water_turns import Run, fit
from advisor.planning.water_zones import SET_OUT_CANS, Left, ZoneUse, zones_of
from advisor.signals.evapotranspiration import reference_et
from advisor.signals.water_balance import TURF_KC, total_available_water

MOST_DAYS = 60
SLACK = 0.75
"""Share of the morning that one zone of grown turf may claim, soaking included (chosen)."""
EARLY, MORNING_END = 5 * 60, 10 * 60
"""Georgia: after midnight and before 10; five o'clock is our choice."""
NOON, AFTERNOON = (11 * 60, 13 * 60 + 30), (14 * 60, 16 * 60 + 30)
DRY_BEFORE_SUNSET = 120
"""Minutes for leaves to dry before night (common practice; the length is chosen)."""
_PLACES = {1: (0,), 2: (0, 2), 3: (0, 1, 2)}


class WaterDay(Record, frozen=True):
    """runs: in order. why: by zone. gave_up: minutes that found no room, by zone."""

    date: dt.date
    runs: tuple[Run, ...]
    why: Mapping[str, str]
    gave_up: Mapping[str, int]
    forecast: bool


class WaterPlan(Record, frozen=True):
    """allowed: False where local rules forbid watering now; then no day has runs."""

    case: Case
    hours: tuple[int, int]
    zones: tuple[ZoneUse, ...]
    left: tuple[Left, ...]
    days: tuple[WaterDay, ...]
    allowed: bool

    @property
    def on(self) -> dt.date:
        """The day on which it was made."""
        return self.case.on

    @property
    def litres(self) -> float:
        """Water used over all days: 1 mm on 1 m² is 1 litre."""
        by_name = {zone.name: zone for zone in self.zones}
        runs = (run for day in self.days for run in day.runs)
        return sum(
            by_name[r.zone].rate * (r.end - r.start) / 60 * by_name[r.zone].area_m2 for r in runs
        )


def compose_waterplan(
    case: Case,
    days: int = 7,
    sown: dt.date | None = None,
    hours: tuple[int, int] = (0, MORNING_END),
) -> WaterPlan:
    """Timetable from today, or from the day of a coming sowing. hours: of the morning, in minutes.

    Raises `BadInput` where there are no zones, no weather, or the numbers make no sense.
    """
    on = case.on
    place = case.place("site.yaml")
    if not case.site.water.zones:
        raise BadInput.at(place, f"no 'zones' under 'water'; for each {SET_OUT_CANS}")
    if not 1 <= days <= MOST_DAYS:
        raise BadInput.at(Place("--days"), f"{days} days; wanted 1 to {MOST_DAYS}")
    if not 0 <= hours[0] < hours[1] <= NOON[0]:
        raise BadInput.at(Place("the hours"), "wanted a start before an end, both before 11:00")
    if sown is not None and (on - sown).days > SEED_DAYS:
        raise BadInput.at(Place("--from"), f"sown over {SEED_DAYS} days ago; leave '--from' out")
    first = max(on, sown) if sown else on
    parts = parts_on(case)
    zones, left = zones_of(case, parts, sown)
    allowed = all(p.decider.day.values(["watering_allowed"])["watering_allowed"] is not False
                  for p in parts)  # fmt: skip
    weather = parts[0].decider.day.weather
    if weather is None:
        raise BadInput.at(case.place(), "no weather record: what dries is not known")
    dates = tuple(first + dt.timedelta(days=n) for n in range(days))
    told = tuple(_weather(case, weather.axis, date) for date in dates)
    sky, sure = tuple(w for w, _ in told), tuple(known for _, known in told)
    wanted, kept = {}, []
    for zone in zones if allowed else ():
        try:
            wishes = _wanted(zone, case, dates, sky, (hours[1] - hours[0]) * SLACK)
            wanted[zone.name] = tuple((w, tuple(_cycles(zone, d) for d in w.turns)) for w in wishes)
            kept.append(zone)
        except ValueError as error:
            left = (*left, Left(zone.name, f"{error}: fit smaller nozzles or water by hand"))
    spare = frozenset(zone.name for zone in kept if zone.sown is None)
    plan = []
    for n, date in enumerate(dates):
        today = {name: days_of[n] for name, days_of in wanted.items()}
        plan.append(_day(case, date, today, hours, spare, sure[n]))
    return WaterPlan(case, hours, tuple(kept), left, tuple(plan), allowed)


def _day(
    case: Case,
    date: dt.date,
    wanted: Mapping[str, tuple[Wanted, tuple[Cycles, ...]]],
    hours: tuple[int, int],
    spare: frozenset[str],
    forecast: bool,
) -> WaterDay:
    site = case.site.place
    _, sunset = daylight(date, site.latitude, site.longitude, site.time_zone)
    # The day's own sowing is soaked once it is done: in the afternoon, and until later.
    fresh = frozenset(zone for zone, (wish, _) in wanted.items() if wish.fresh)
    end = sunset - DRY_BEFORE_SUNSET
    late = (AFTERNOON[0], end if fresh else min(AFTERNOON[1], end))
    windows = ((hours, EARLY), (NOON, NOON[0] + 30), (late, AFTERNOON[0]))
    runs: list[Run] = []
    gone: dict[str, int] = {}
    for place, (window, prefer) in enumerate(windows):
        jobs = {}
        for zone, (_, turns) in wanted.items():
            at = (2,) if zone in fresh else _PLACES.get(len(turns), ())
            if turns and place in at:
                jobs[zone] = turns[at.index(place)]
        found = fit(jobs, window, prefer, spare)
        runs.extend(found.runs)
        for zone, minutes in found.gave_up.items():
            gone[zone] = gone.get(zone, 0) + minutes
    why = {zone: wish.why for zone, (wish, _) in wanted.items()}
    return WaterDay(date, tuple(runs), why, gone, forecast)


def _cycles(zone: ZoneUse, depth: float) -> Cycles:
    total = whole_up(run_minutes(depth, zone.rate, zone.uniformity))
    return split(total, zone.rate, zone.intake, zone.slope)


def _wanted(
    zone: ZoneUse,
    case: Case,
    dates: tuple[dt.date, ...],
    sky: tuple[Weather, ...],
    room: float,
) -> tuple[Wanted, ...]:
    """Seed for a month by its age, then turf; after the month the soil is taken as full."""
    day = zone.part.decider.day
    grass = case.book.grasses[zone.part.grass]
    season = "warm" if grass.traits.get("season_type") == "warm" else "cool"
    kc = TURF_KC[season][1]  # type: ignore[index]
    root = grass.limits.get("root_depth")
    holds = total_available_water(case.site.soil.texture or "clay_loam",
                                  root.value if root else 150.0)[1]  # fmt: skip
    ages = [(date - zone.sown).days if zone.sown else SEED_DAYS + 1 for date in dates]
    young = sum(1 for age in ages if age <= SEED_DAYS)
    out = [seed_day(ages[n], sky[n], ages[n] % 2 == 1) for n in range(young)]
    deficit = day.values(["water_deficit"])["water_deficit"]
    known = 0.0 if young else (deficit if isinstance(deficit, float) else None)
    return (*out, *turf_days(known, holds, kc, sky[young:], _most(zone, room)))


def _most(zone: ZoneUse, room: float) -> float:
    """The depth, mm, that a zone can be given in cycles within `room` minutes; at least a minute's.

    Raises `ValueError` where not even a minute would soak in.
    """
    best = 1
    for total in range(1, int(room) + 1):
        job = split(total, zone.rate, zone.intake, zone.slope)
        if job.total + job.rest * (len(job.minutes) - 1) <= room:
            best = total
    return best / run_minutes(1.0, zone.rate, zone.uniformity)


def _weather(case: Case, axis: Axis, date: dt.date) -> tuple[Weather, bool]:
    """A day to come, and whether a forecast tells its rain; else the mean of the years, no rain."""
    at = axis.index(date)
    if not 0 <= at < len(axis.days):
        raise BadInput.at(Place("--from"), "too far ahead for this weather record")
    high, low = (_mean(axis.columns[c][:, at]) for c in ("air_max_c", "air_min_c"))
    rain, known = 0.0, False
    table = case.weather
    if table is not None and table.forecast_issued and table.forecast_from:
        fresh = 0 <= (case.on - table.forecast_issued).days <= FRESH_DAYS
        found = np.flatnonzero(table.days == np.datetime64(date))
        if fresh and date >= table.forecast_from and len(found):
            row = {
                c: float(table.column(c)[found[0]]) for c in ("air_max_c", "air_min_c", "rain_mm")
            }
            if not any(math.isnan(v) for v in row.values()):
                high, low, rain, known = row["air_max_c"], row["air_min_c"], row["rain_mm"], True
    if math.isnan(high) or math.isnan(low):
        raise BadInput.at(case.place(), f"no temperatures to judge {date} by")
    place = case.site.place
    et = reference_et(
        np.array([high]), np.array([low]), day_of_year=np.array([date.timetuple().tm_yday]),
        latitude_deg=place.latitude, elevation_m=place.elevation or 0.0,
    )  # fmt: skip
    return Weather(float(et.mm[0]), rain, high), known


def _mean(values: NDArray[np.float64]) -> float:
    """The mean of the known values; NaN where none is."""
    known = values[~np.isnan(values)]
    return float(known.mean()) if len(known) else math.nan
