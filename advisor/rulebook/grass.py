"""A grass as its file has it, and conditions with the limits that it states."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.base.record import Record, replace
from advisor.rulebook.conditions import Condition, Evidence, Leaf


class GrassLimit(str):
    """A limit that each grass file states for itself, such as `thatch_remove`."""


class Limit(Record, frozen=True):
    """One number of a grass file, canonical unit, with its evidence ids."""

    value: float
    unit: str
    evidence: tuple[str, ...]
    range: str = ""


class Grass(Record, frozen=True):
    """One grass: traits (choice facts), limits, rates."""

    id: str
    title: str
    also: tuple[str, ...]
    traits: Mapping[str, str]
    limits: Mapping[str, Limit]
    evidence: Mapping[str, Evidence]


def resolve(condition: Condition, grass: Grass) -> Condition:
    """The condition with the limits that the grass states."""
    if not isinstance(condition, Leaf):
        parts = tuple(resolve(part, grass) for part in condition.parts)
        same = all(new is old for new, old in zip(parts, condition.parts, strict=True))
        return condition if same else replace(condition, parts=parts)
    if not isinstance(condition.limit, GrassLimit):
        return condition
    limit = grass.limits[condition.limit]
    return replace(
        condition,
        limit=limit.value,
        evidence=(*condition.evidence, *limit.evidence),
        range=limit.range or condition.range,
    )
