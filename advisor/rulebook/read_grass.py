"""Grass files (rules/grasses/*.yaml)."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document
from advisor.base.units import UnitError, canonical_units, parse_quantity
from advisor.facts.fact import Vocabulary
from advisor.rulebook.grass import Limit
from advisor.rulebook.model import Grass, Source
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence


class _LimitEntry(FileModel):
    value: str | int | float
    unit: str
    evidence: list[str]
    range: str = ""


class _GrassFile(FileModel):
    format: Literal[1]
    grass: str
    title: str
    also: list[str] = []
    traits: dict[str, str]
    limits: dict[str, _LimitEntry]
    evidence: list[EvidenceEntry]


def read_grass(document: Document, vocabulary: Vocabulary, sources: Mapping[str, Source]) -> Grass:
    """One grass. Raises `BadInput` with every problem found."""
    file = check_document(_GrassFile, document)
    problems = Problems()
    evidence = read_evidence(file.evidence, sources, document, problems)
    for name, choice in file.traits.items():
        place = document.place(("traits", name))
        definition = vocabulary.get(name)
        if definition is None or definition.kind != "choice":
            near = did_you_mean(name, vocabulary)
            problems.add(place, f"trait '{name}' is no choice fact of facts.yaml{near}")
        elif choice not in definition.choices:
            near = did_you_mean(choice, definition.choices)
            what = f"{name}: '{choice}' is not one of {', '.join(definition.choices)}{near}"
            problems.add(place, what)
    limits = {
        name: limit
        for name, entry in file.limits.items()
        if (limit := _limit(name, entry, frozenset(evidence), document, problems)) is not None
    }
    problems.raise_if_any()
    # A grass's evidence travels into operations, so its ids carry the grass's name.
    prefix = f"{file.grass}."
    return Grass(
        id=file.grass,
        title=file.title,
        also=tuple(file.also),
        traits=file.traits,
        limits={
            n: Limit(x.value, x.unit, tuple(prefix + e for e in x.evidence), x.range)
            for n, x in limits.items()
        },
        evidence={prefix + id: e for id, e in evidence.items()},
    )


def _limit(
    name: str,
    entry: _LimitEntry,
    evidence: frozenset[str],
    document: Document,
    problems: Problems,
) -> Limit | None:
    loc = ("limits", name)
    if entry.unit not in canonical_units():
        known = ", ".join(sorted(u for u in canonical_units() if u))
        problems.add(document.place((*loc, "unit")), f"unit '{entry.unit}' is not one of {known}")
        return None
    if not entry.evidence:
        problems.add(document.place(loc), f"limit '{name}' has no evidence; add 'evidence: [ID]'")
    for i, id in enumerate(entry.evidence):
        if id not in evidence:
            near = did_you_mean(id, evidence)
            place = document.place((*loc, "evidence", i))
            problems.add(place, f"evidence '{id}' is not declared below{near}")
    try:
        value = parse_quantity(entry.value, entry.unit)
    except UnitError as error:
        problems.add(document.place((*loc, "value")), f"{name}: {error}")
        return None
    return Limit(value, entry.unit, tuple(entry.evidence), entry.range)
