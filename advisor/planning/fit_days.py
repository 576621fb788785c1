"""On which days, and with which chance, a job is in season, workable, and barred by no gate."""

from __future__ import annotations

import datetime as dt

import numpy as np
from numpy.typing import NDArray

from advisor.advice.free_days import FreeRun
from advisor.advice.gates import Gates
from advisor.advice.item import Item
from advisor.base.record import Record
from advisor.decide.verdicts.decide import Decider
from advisor.decide.windows.interval import FALSE, Series, truth_array
from advisor.decide.windows.tracks import tracks
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.conditions import facts_of

Table = NDArray[np.bool_]
Days = slice | list[int]
"""Days of the axis."""

WET_DAY_MM = 2.5
"""More rain than that (0.1 in) in a day spoils outdoor work (chosen; common practice is to wait
for a dry day)."""
HOT_DAY_C = 32.2
"""Heavy work waits on days that reach 90 °F (chosen: the heat index that US guidance calls
moderate risk starts at 91 °F; OSHA heat index guide)."""
COLD_DAY_C = 2.0
"""Nobody rakes or spreads on a day that stays at freezing (chosen)."""
MOISTURE = frozenset({"soil_moisture_share"})


class FitDays(Record, frozen=True):
    """Years by days of the axis. known: whether the year can tell the season of the day."""

    in_season: Table
    can_work: Table
    known: Table

    def chance_in_season(self, days: Days) -> float | None:
        """Share of the years in which at least one of the days is in season; None: unknown."""
        return self._share(self.in_season[:, days], days)

    def chance(self, days: Days) -> float | None:
        """Share of the years with a day that is in season and lets people work; None: unknown."""
        return self._share((self.in_season & self.can_work)[:, days], days)

    def _share(self, table: Table, days: Days) -> float | None:
        known = self.known[:, days].all(axis=1)
        return float(table[known].any(axis=1).mean()) if known.any() else None


def people_can_work(facts: WeatherFacts) -> Table:
    """Dry, neither hot nor frozen, on each day of each year; unknown weather hinders nobody."""
    columns = facts.axis.columns
    high = columns["air_max_c"]
    rain = columns.get("rain_mm", np.full(facts.axis.shape, np.nan))
    with np.errstate(invalid="ignore"):
        hindered = (rain > WET_DAY_MM) | (high > HOT_DAY_C) | (high < COLD_DAY_C)
    return np.asarray(~hindered)


def fit_days(decider: Decider, id: str) -> FitDays | None:
    """The fit days of an operation on the lawn's axis; None without weather.

    What the keeper would have to look at on the day (is the turf growing, how does the soil feel)
    is taken to be in order: only what the weather itself forbids counts against a day, and a ban in
    the law of the place, or what forbids the work until a day, which takes it out of the season.
    """
    facts = decider.day.weather
    if facts is None:
        return None
    operation = decider.resolved(id)
    shape = facts.axis.shape
    in_season = np.zeros(shape, dtype=bool)
    known = np.ones(shape, dtype=bool)
    days = np.arange(shape[1])
    for window in operation.windows:
        for track in tracks(window, facts, decider.site_values):
            found = track.found
            opened = found.opened[:, None]
            inside = (days >= found.opens[:, None]) & (days < found.closes[:, None])
            in_season |= opened & inside
            known &= found.certain[:, None] | (days < track.first) | (days >= track.last)
    if (banned := decider.banned(operation)) is not None:
        in_season &= ~banned
    decision = decider.decide(id)
    if decision.conflicts and decision.ends is not None:
        in_season &= days >= facts.axis.index(decision.ends.day)
    series: dict[str, Series | None] = {}
    for name in facts_of(operation.ready):
        if name in decider.site_values:
            series[name] = decider.site_values[name]
        else:
            varies = decider.book.vocabulary[name].varies
            series[name] = facts.series(name) if varies == "weather" else None
    if decider.site_values.get("irrigated"):
        # Who can water sees to it that the soil is moist on the day.
        series |= dict.fromkeys(MOISTURE & series.keys())
    allowed = truth_array(operation.ready, series, shape) != FALSE
    return FitDays(in_season, allowed & people_can_work(facts), known)


def day_slice(facts: WeatherFacts, first: dt.date, last: dt.date) -> slice | None:
    """The days of the axis from first to last; None if they do not lie on it."""
    start, end = facts.axis.index(first), facts.axis.index(last) + 1
    return slice(start, end) if start >= 0 and end <= facts.axis.shape[1] else None


class RunFit(Record, frozen=True):
    """Shares of the years in which a day of the run is in season, and suits the work as well."""

    in_season: float
    chance: float


class Fits:
    """The days that suit jobs, each reckoned when it is first asked for, and once."""

    def __init__(self) -> None:
        self._found: dict[tuple[str, str], FitDays | None] = {}

    def of(self, item: Item) -> FitDays | None:
        """Over the years of the record; None without weather."""
        if item.key not in self._found:
            self._found[item.key] = fit_days(item.part.decider, item.operation.id)
        return self._found[item.key]


def run_fit(item: Item, fit: FitDays | None, run: FreeRun, gates: Gates) -> RunFit | None:
    """The chances of a job in a run; None where it has none, or nobody can tell."""
    facts = item.part.decider.day.weather
    if fit is None or facts is None:
        return None
    days = day_slice(facts, run.first, run.last)
    if days is None:
        return None
    free = open_days(item, run, gates)
    at = [(day - run.first).days + days.start for day in free]
    season, chance = (fit.chance_in_season(at), fit.chance(at)) if at else (None, None)
    return RunFit(season, chance) if season and chance is not None else None


def open_days(item: Item, run: FreeRun, gates: Gates) -> list[dt.date]:
    """The days of a run on which the job is not barred by a gate that can no longer be had."""
    return [day for day in run.days if not gates.bars(item.operation, item.part.label, day)]
