"""Active ingredients of weed preventers and the waits of grass seed after them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document
from advisor.base.units import UnitError, parse_quantity
from advisor.rulebook.model import Ingredient, Source
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence

_WAITS = ("wait_broadcast", "wait_slit", "label_wait_shortest", "label_wait_longest")


class _IngredientEntry(FileModel):
    title: str
    trial_rate: str | None = None
    wait_broadcast: str
    wait_slit: str | None = None
    label_wait_shortest: str | None = None
    label_wait_longest: str | None = None
    seed_safe: bool
    seed_safe_on: list[str] = []
    range: str = ""
    evidence: list[str]


class _IngredientsFile(FileModel):
    format: Literal[1]
    ingredients: dict[str, _IngredientEntry]
    evidence: list[EvidenceEntry]


def read_ingredients(document: Document, sources: Mapping[str, Source]) -> dict[str, Ingredient]:
    """The ingredients by id. Raises `BadInput` with every problem found."""
    file = check_document(_IngredientsFile, document)
    problems = Problems()
    evidence = read_evidence(file.evidence, sources, document, problems)
    found = {}
    for id, entry in file.ingredients.items():
        waits = []
        for key in _WAITS:
            text = getattr(entry, key)
            if text is None:
                continue
            try:
                waits.append(parse_quantity(text, "d"))
            except UnitError as error:
                problems.add(document.place(("ingredients", id, key)), f"{key}: {error}")
        for i, name in enumerate(entry.evidence):
            if name not in evidence:
                place = document.place(("ingredients", id, "evidence", i))
                near = did_you_mean(name, evidence)
                problems.add(place, f"evidence '{name}' is not declared below{near}")
        found[id] = Ingredient(
            id=id,
            title=entry.title,
            # Safe with the seed of some grasses says nothing about the others.
            longest_wait=max(waits, default=0.0) or None,
            seed_safe_on=frozenset(entry.seed_safe_on),
            range=entry.range,
            evidence=tuple(evidence[n] for n in entry.evidence if n in evidence),
        )
    problems.raise_if_any()
    return found
