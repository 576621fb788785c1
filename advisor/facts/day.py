"""All facts of one part of the lawn on one day, joined from site, journal, grass and weather."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Mapping
from functools import partial

import numpy as np

from advisor.base.record import Record, replace
from advisor.facts.axis import Axis
from advisor.facts.fact import Basis, Fact, Lawn, LazyMap, Value, Vocabulary
from advisor.facts.spread_facts import (
    RECOMMENDED,
    feeding_half,
    lime_facts,
    nitrogen_fed,
    planned_wait,
    seed_age,
    seeding_wait_left,
)
from advisor.facts.told_facts import (
    NOT_CHECKED,
    LocalLaw,
    barred_at_hand,
    law_facts,
    record_facts,
    site_facts,
    valid_readings,
)
from advisor.facts.water_facts import rain_forecast
from advisor.facts.weather_facts import COMPUTED, WeatherFacts
from advisor.records.journal import Journal
from advisor.records.record import Site
from advisor.signals.running import median
from advisor.signals.soil_temperature import offset_from_readings
from advisor.weather.table import WeatherTable

OTHER_WORK = frozenset({"watering"})
"""Work that the journal takes although no rule file describes it yet."""
WATERING_MEMORY_DAYS = 14
"""Without a recorded watering for so long, an irrigated lawn's water is unknown, not nil."""

NEEDS_RECENT_DAYS = frozenset(
    {"soil_moisture_share", "water_deficit", "dry_spell", "rain_3d"}
    | {"dollar_spot_risk", "brown_patch_index", "wet_run"}
)
"""Facts that other years or normals cannot stand in for."""
RECENT_DAYS = 3


class GrassOfLawn(Record, frozen=True):
    """What the day needs of the grass.

    traits: choice facts. root_depth_mm: None if unknown. seed_waits: days that its seed waits
    after each weed preventer; without an entry only the label can tell.
    """

    id: str
    traits: Mapping[str, str]
    root_depth_mm: float | None
    seed_waits: Mapping[str, float]


class Day(Record, frozen=True):
    """The facts of an area (None: the whole lawn) on a day, and the weather behind them.

    weather is None where there is neither a record nor normals. law: the rules of the place.
    """

    on: dt.date
    area: str | None
    grass: str
    facts: Mapping[str, Fact]
    weather: WeatherFacts | None
    law: LocalLaw = NOT_CHECKED

    def values(self, names: Iterable[str]) -> dict[str, Value | None]:
        """The bare values of some facts; None for unknown, and for a fact that is none of ours."""
        return {name: self.facts[name].value for name in names if name in self.facts}


def assemble_day(
    site: Site,
    journal: Journal,
    axis: Axis | None,
    grass: GrassOfLawn,
    vocabulary: Vocabulary,
    on: dt.date,
    area: str | None = None,
    *,
    law: LocalLaw = NOT_CHECKED,
    forecast: WeatherTable | None = None,
) -> Day:
    """Join everything known on `on`. Records after that day are hidden.

    law: the rules of the place. forecast: the weather with its forecast, if there is one.
    """
    known = journal.as_of(on)
    facts = site_facts(site, grass.traits, on, area) | record_facts(known, vocabulary, area, on)
    warm = grass.traits.get("season_type") == "warm"
    half = feeding_half(on, site.place.latitude, warm=warm)
    facts["nitrogen_fed"] = nitrogen_fed(known, area, half.since)
    computed_today = (
        half.fact,
        *lime_facts(known, area, facts[RECOMMENDED], facts["lime_due"]),
        *law_facts(law, on),
        rain_forecast(forecast, on),
    )
    facts |= {fact.name: fact for fact in computed_today}
    facts["seeding_wait_left"] = seeding_wait_left(facts, grass.seed_waits, on)
    facts["seed_age"] = seed_age(facts)
    facts["preventer_barred"] = barred_at_hand(facts["preventer_at_hand"], law)
    facts["preventer_wait"] = planned_wait(facts["preventer_at_hand"], grass.seed_waits)
    weather = None
    if axis is not None:
        lawn = _lawn(site, known, grass, on, area)
        offset = _soil_offset(WeatherFacts(axis, lawn), known, vocabulary, area, on)
        weather = WeatherFacts(axis, replace(lawn, soil_offset_c=offset))
    computed = {name: partial(_weather_fact, name, weather, vocabulary) for name in COMPUTED}
    return Day(on, area, grass.id, LazyMap(facts, computed), weather, law)


def _lawn(site: Site, journal: Journal, grass: GrassOfLawn, on: dt.date, area: str | None) -> Lawn:
    watered = {
        entry.date: float(entry.details.get("water", 0.0))
        for entry in journal.work("watering", area)
    }
    recent = any((on - day).days <= WATERING_MEMORY_DAYS for day in watered)
    return Lawn(
        latitude=site.place.latitude,
        elevation_m=site.place.elevation or 0.0,
        climate=site.climate or "humid",
        season_type="warm" if grass.traits.get("season_type") == "warm" else "cool",
        texture=site.soil.texture,
        root_depth_mm=grass.root_depth_mm,
        irrigation_mm=watered,
        watering_unknown=site.water.irrigated is not False and not recent,
    )


def _soil_offset(
    weather: WeatherFacts, journal: Journal, vocabulary: Vocabulary, area: str | None, on: dt.date
) -> float:
    """How much warmer this lawn's soil is than the model, from the keeper's thermometer."""
    definition = vocabulary["soil_temperature_reading"]
    residuals = []
    for entry in valid_readings(definition, journal, area, on):
        at = weather.axis.index(entry.date)
        if 0 <= at <= weather.axis.today and isinstance(entry.value, float):
            residuals.append(entry.value - float(np.nanquantile(weather.soil_c[:, at], 0.5)))
    return offset_from_readings(residuals)


def _weather_fact(name: str, weather: WeatherFacts | None, vocabulary: Vocabulary) -> Fact:
    if weather is None:
        return Fact(name, None, "computed", None, "no weather record")
    known = weather.axis.memo.setdefault(("today", weather.place_for({name})), {})
    if name not in known:
        known[name] = _of_today(name, weather, vocabulary)
    fact: Fact = known[name]
    return fact


def _of_today(name: str, weather: WeatherFacts, vocabulary: Vocabulary) -> Fact:
    axis = weather.axis
    seen = axis.date(min(axis.today, axis.observed - 1)) if axis.observed else None
    if name in NEEDS_RECENT_DAYS and axis.observed + RECENT_DAYS <= axis.today:
        return Fact(name, None, "computed", seen, "no weather of the last days")
    today = weather.series(name)[:, axis.today]
    known = today[~np.isnan(today)]
    if len(known) * 2 <= len(today):
        return Fact(name, None, "computed", seen, "not enough weather")
    middle = median(known)
    if vocabulary[name].unit == "d":
        # Half of the years say a day more: the fewer days are the more careful.
        middle = float(math.floor(middle))
    flag = vocabulary[name].kind == "flag"
    basis: Basis = "computed" if axis.observed > axis.today else "assumed"
    note = "" if basis == "computed" else "from other years, not from this week's weather"
    return Fact(name, middle >= 0.5 if flag else middle, basis, seen, note)
