"""How likely a run of free days suits a job: in season, dry and mild, and not barred by a gate."""

from __future__ import annotations

import datetime as dt

from advisor.advice.free_days import FreeRun
from advisor.advice.gates import Gates
from advisor.advice.item import Item
from advisor.base.record import Record
from advisor.planning.fit_days import FitDays, day_slice, fit_days


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
