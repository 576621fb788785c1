"""A lawn opened from its folder: site, journal, weather and the rule book, ready to be asked."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TypeVar

from advisor.base.dates import today
from advisor.base.problems import BadInput, Place, Problems
from advisor.facts.axis import Axis, build_axis
from advisor.facts.day import OTHER_WORK, GrassOfLawn, assemble_day
from advisor.facts.law_facts import LocalLaw
from advisor.rulebook.law import FEEDING_SUBJECTS, Laws, laws_at, left_by, rules_on
from advisor.rulebook.model import Grass, RuleBook
from advisor.site.journal import Journal
from advisor.site.read_journal import read_journal
from advisor.site.read_site import JOURNAL_FILE, read_site
from advisor.site.record import Site
from advisor.verdicts.decide import Decider
from advisor.verdicts.kept import KeptDay
from advisor.verdicts.share_decisions import SharingDecider
from advisor.weather.fetched import forecast_path, history_path, read_forecast, read_history
from advisor.weather.join import join
from advisor.weather.kept_weather import read_kept_weather
from advisor.weather.normals import NORMALS_FILE, MonthlyNormals
from advisor.weather.record_path import weather_path
from advisor.weather.table import WeatherTable

T = TypeVar("T")


@dataclass(frozen=True)
class Lawn:
    """Everything the keeper told us, checked. weather and normals may be missing."""

    folder: Path
    site: Site
    journal: Journal
    weather: WeatherTable | None
    normals: MonthlyNormals | None
    book: RuleBook


@dataclass(frozen=True)
class Ground:
    """What a job is reckoned for: areas (none for the whole lawn) and their size, m²."""

    areas: tuple[str, ...]
    size_m2: float

    @property
    def label(self) -> str:
        """`front and back`; empty for the whole lawn."""
        return " and ".join(self.areas)

    @property
    def name(self) -> str:
        """The label, or `lawn`."""
        return self.label or "lawn"


@dataclass(frozen=True)
class Part:
    """Areas with the same leading grass, asked about together. areas: empty for the whole lawn."""

    grass: str
    areas: tuple[str, ...]
    size_m2: float
    decider: Decider

    @property
    def ground(self) -> Ground:
        return Ground(self.areas, self.size_m2)

    @property
    def label(self) -> str:
        return self.ground.label


def open_lawn(folder: Path, book: RuleBook) -> Lawn:
    """Read a site's folder. Raises `BadInput` with the problems of all its files at once.

    "From the future" is meant after the real clock, whatever day is asked about.
    """
    problems = Problems()

    def attempt(read: Callable[[], T]) -> T | None:
        try:
            return read()
        except BadInput as error:
            problems.take(error)
            return None

    # The site file may hold the time zone that says what today is; a day's grace is harmless.
    now = today() + dt.timedelta(days=1)
    site = attempt(lambda: read_site(folder, book.grasses, now))
    zone_today = today(site.place.time_zone) if site is not None else now
    areas = site.area_names if site is not None else None
    work = frozenset(book.operations) | OTHER_WORK
    journal = attempt(
        lambda: read_journal(folder / JOURNAL_FILE, book.vocabulary, work, zone_today, areas)
    )
    weather = normals = None
    record = attempt(lambda: weather_path(folder))
    # How to read the record stands in the site file; without it every message could mislead.
    if record is not None and site is not None:
        units, columns = site.weather_units, site.weather_columns
        weather = attempt(lambda: read_kept_weather(record, units, zone_today, columns))
    history = attempt(lambda: read_history(history_path(folder), zone_today))
    forecast = attempt(lambda: read_forecast(forecast_path(folder)))
    if (folder / NORMALS_FILE).is_file():
        from advisor.weather.read_normals import read_normals

        normals = attempt(lambda: read_normals(folder / NORMALS_FILE))
    problems.raise_if_any()
    assert site is not None
    assert journal is not None
    if history is not None or forecast is not None:
        weather = join(weather, history, forecast, site.place.time_zone)
    return Lawn(folder, site, journal, weather, normals, book)


def default_day(lawn: Lawn) -> dt.date:
    """Today where the lawn lies."""
    return today(lawn.site.place.time_zone)


def parts_on(
    lawn: Lawn,
    on: dt.date,
    grass: str | None = None,
    *,
    unknown_as: str | None = None,
    axis: Axis | None = None,
    kept: KeptDay | None = None,
) -> tuple[Part, ...]:
    """The parts of the lawn on a day, largest first.

    grass: ask as if all of it were of that grass. unknown_as: the grass to take where the keeper
    does not know. axis: that of the lawn's weather on the day, if it has been built already.
    kept: what was decided on it for other lawns.
    Raises `BadInput` where the grass is not known and neither is given.
    """
    if axis is None:
        axis = build_axis(lawn.weather, lawn.normals, on, lawn.site.place.latitude)
    groups: dict[tuple[str, str], list[str]] = {}
    told_apart = {entry.area for entry in lawn.journal.standing if entry.area}
    for area in lawn.site.areas:
        name = grass or lawn.site.leading_grass(area.name) or unknown_as
        if name is None:
            raise _no_grass(lawn)
        # Areas of one grass are one part until the journal speaks of one of them by itself.
        alone = area.name if told_apart else ""
        groups.setdefault((name, alone), []).append(area.name)
    sizes = {area.name: area.size for area in lawn.site.areas}
    parts = []
    for (name, _), areas in groups.items():
        area_name = areas[0] if len(areas) == 1 else None
        decider = _decider(lawn, axis, on, name, area_name, kept)
        label = () if len(groups) == 1 else tuple(areas)
        parts.append(Part(name, label, sum(sizes[area] for area in areas), decider))
    return tuple(sorted(parts, key=lambda part: -part.size_m2))


def as_grass(lawn: Lawn, part: Part, grass: str) -> Part:
    """The same part of the lawn on the same day, asked about as if it were of another grass."""
    day = part.decider.day
    axis = None if day.weather is None else day.weather.axis
    return replace(part, grass=grass, decider=_decider(lawn, axis, day.on, grass, day.area))


def candidates(lawn: Lawn) -> tuple[str, ...]:
    """The grasses to try where the keeper does not know; none if every area's grass is known."""
    if all(lawn.site.leading_grass(area.name) for area in lawn.site.areas):
        return ()
    return tuple(lawn.book.grasses)


def _decider(
    lawn: Lawn,
    axis: Axis | None,
    on: dt.date,
    grass: str,
    area: str | None,
    kept: KeptDay | None = None,
) -> Decider:
    day = assemble_day(
        lawn.site,
        lawn.journal,
        axis,
        grass_of_lawn(lawn.book.grasses[grass], lawn.book),
        lawn.book.vocabulary,
        on,
        area,
        law=local_law(lawn, on),
        forecast=lawn.weather,
    )
    if kept is None:
        return Decider(lawn.book, day, lawn.site.unit_system)
    return SharingDecider(lawn.book, day, lawn.site.unit_system, kept)


def laws_of(lawn: Lawn) -> tuple[Laws, ...]:
    """The laws that were read for the lawn's place."""
    place = lawn.site.place
    return laws_at(lawn.book.laws, place.country, place.subdivision, place.county, place.town)


def local_law(lawn: Lawn, on: dt.date) -> LocalLaw:
    """What the day's facts need of the laws of the place."""
    found = laws_of(lawn)
    law = left_by(found, on)
    bans = rules_on(found, ["blackout"])
    return LocalLaw(
        checked=bool(rules_on(found, FEEDING_SUBJECTS)),
        bans=tuple((r.first, r.last) for r in bans if r.first is not None and r.last is not None),
        phosphorus=True if rules_on(found, ["phosphorus"]) else None,
        left_out=law.left_out,
        pesticides=law.all_barred or None,
    )


def grass_of_lawn(grass: Grass, book: RuleBook) -> GrassOfLawn:
    """What the day's facts need of a grass."""
    depth = grass.limits.get("root_depth")
    waits: dict[str, float] = {}
    for id, ingredient in book.ingredients.items():
        if grass.id in ingredient.seed_safe_on:
            waits[id] = 0.0
        elif ingredient.longest_wait is not None:
            waits[id] = ingredient.longest_wait
    return GrassOfLawn(grass.id, grass.traits, depth.value if depth else None, waits)


def _no_grass(lawn: Lawn) -> BadInput:
    known = ", ".join(lawn.book.grasses)
    what = (
        "the grass is not known, and the answer depends on it; write the one that looks nearest "
        f"under 'stand', or ask with --grass NAME and compare ({known})"
    )
    return BadInput.at(Place(str(lawn.folder / "site.yaml")), what)
