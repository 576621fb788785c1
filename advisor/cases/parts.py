"""The parts of a lawn, each with the one that decides for it on the day."""

from __future__ import annotations

from collections.abc import Collection

from advisor.base.problems import BadInput
from advisor.base.record import Record, replace
from advisor.cases.case import Case, local_law
from advisor.decide.verdicts.decide import Decider
from advisor.decide.verdicts.decision_cache import KeptDay, SharingDecider
from advisor.facts.axis import Axis, build_axis
from advisor.facts.day import GrassOfLawn, assemble_day
from advisor.records.kept import is_on
from advisor.rulebook.model import Grass, RuleBook


class Ground(Record, frozen=True):
    """What a job is reckoned for: areas (none for the whole lawn) and their size, m²; None where
    that of one is not known."""

    areas: tuple[str, ...]
    size_m2: float | None

    @property
    def label(self) -> str:
        """`front and back`; empty for the whole lawn."""
        return " and ".join(self.areas)

    @property
    def name(self) -> str:
        """The label, or `lawn`."""
        return self.label or "lawn"


class Part(Record, frozen=True):
    """Areas with the same leading grass, asked about together. areas: empty for the whole lawn."""

    grass: str
    areas: tuple[str, ...]
    size_m2: float | None
    decider: Decider

    @property
    def ground(self) -> Ground:
        return Ground(self.areas, self.size_m2)

    @property
    def label(self) -> str:
        return self.ground.label

    @property
    def name(self) -> str:
        """The label, or `lawn`."""
        return self.ground.name


def parts_on(
    case: Case,
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
        axis = build_axis(case.weather, case.normals, case.on, case.site.place.latitude)
    groups: dict[tuple[str, str], list[str]] = {}
    told_apart = {entry.area for entry in case.journal.standing if entry.area}
    for area in case.site.areas:
        name = grass or case.site.leading_grass(area.name) or unknown_as
        if name is None:
            raise _no_grass(case)
        # Areas of one grass are one part until the journal speaks of one of them by itself.
        alone = area.name if told_apart else ""
        groups.setdefault((name, alone), []).append(area.name)
    parts = []
    for (name, _), areas in groups.items():
        area_name = areas[0] if len(areas) == 1 else None
        decider = _decider(case, axis, name, area_name, kept, planned_on(case, areas))
        label = () if len(groups) == 1 else tuple(areas)
        parts.append(Part(name, label, case.site.size_of(areas), decider))
    return tuple(sorted(parts, key=lambda part: -(part.size_m2 or 0.0)))


def as_grass(case: Case, part: Part, grass: str) -> Part:
    """The same part of the lawn on the same day, asked about as if it were of another grass."""
    day = part.decider.day
    axis = None if day.weather is None else day.weather.axis
    return replace(
        part,
        grass=grass,
        decider=_decider(case, axis, grass, day.area, planned=part.decider.planned),
    )


def planned_on(case: Case, areas: Collection[str]) -> frozenset[str]:
    """The jobs for which the keeper has settled on a day that is still to come, on some areas."""
    plan = case.plan
    if plan is None:
        return frozenset()
    days = (day for day in plan.days if day.date >= case.on)
    return frozenset(id for day in days for id, area in day.work if is_on(area, areas))


def candidates(case: Case) -> tuple[str, ...]:
    """The grasses to try where the keeper does not know; none if every area's grass is known."""
    if all(case.site.leading_grass(area.name) for area in case.site.areas):
        return ()
    return tuple(case.book.grasses)


def _decider(
    case: Case,
    axis: Axis | None,
    grass: str,
    area: str | None,
    kept: KeptDay | None = None,
    planned: frozenset[str] = frozenset(),
) -> Decider:
    day = assemble_day(
        case.site,
        case.journal,
        axis,
        grass_of_lawn(case.book.grasses[grass], case.book),
        case.book.vocabulary,
        case.on,
        area,
        law=local_law(case),
        forecast=case.weather,
    )
    if kept is None:
        return Decider(case.book, day, case.site.unit_system, planned)
    return SharingDecider(case.book, day, case.site.unit_system, kept)


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


def _no_grass(case: Case) -> BadInput:
    known = ", ".join(case.book.grasses)
    what = (
        "the grass is not known, and the answer depends on it; write the one that looks nearest "
        f"under 'stand', or ask with --grass NAME and compare ({known})"
    )
    return BadInput.at(case.place("site.yaml"), what)
