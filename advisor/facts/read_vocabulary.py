"""From the document of a facts file to the vocabulary."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems
from advisor.base.strict_yaml import Document
from advisor.base.units import UnitError, canonical_units, parse_quantity
from advisor.facts.fact import FactDefinition, Kind, Moves, Varies, Vocabulary


class _FactEntry(FileModel):
    title: str
    kind: Kind
    varies: Varies
    unit: str | None = None
    choices: list[str] | None = None
    between: Annotated[list[str | int | float], Field(min_length=2, max_length=2)] | None = None
    error: str | int | float | None = None
    stale_after: str | None = None
    invalidated_by: list[str] = []
    moves: Moves | None = None
    measure: str = ""
    question: str = ""
    said_as: list[str] = []
    tells_of: str = ""
    evidence: str = ""


class _FactsFile(FileModel):
    format: Literal[1]
    spoken: dict[str, str] = {}
    facts: dict[str, _FactEntry]


def read_vocabulary(document: Document, operations: frozenset[str] = frozenset()) -> Vocabulary:
    """The vocabulary of a facts file. Raises `BadInput` with every problem found."""
    file = check_document(_FactsFile, document)
    problems = Problems()
    definitions = {
        name: _definition(name, entry, document, problems) for name, entry in file.facts.items()
    }
    problems.raise_if_any()
    return Vocabulary(definitions, operations, file.spoken)


def _definition(
    name: str, entry: _FactEntry, document: Document, problems: Problems
) -> FactDefinition:
    loc = ("facts", name)
    unit = entry.unit or ""
    if unit not in canonical_units():
        known = ", ".join(sorted(u for u in canonical_units() if u))
        problems.add(document.place((*loc, "unit")), f"unit '{unit}' is not one of {known}")
        unit = ""
    if (entry.kind == "choice") != (entry.choices is not None):
        wants = "list its 'choices'" if entry.kind == "choice" else "'choices' is for kind 'choice'"
        problems.add(document.place(loc), f"fact '{name}' is a {entry.kind}: {wants}")

    def quantity(key: str, value: str | int | float | None, in_unit: str) -> float | None:
        if value is None:
            return None
        try:
            return parse_quantity(value, in_unit)
        except UnitError as error:
            problems.add(document.place((*loc, key)), f"{key}: {error}")
            return None

    low, high = entry.between or (None, None)
    spread = {"°C": "Δ°C"}.get(unit, unit)
    return FactDefinition(
        name=name,
        title=entry.title,
        kind=entry.kind,
        varies=entry.varies,
        unit=unit,
        choices=tuple(entry.choices or ()),
        lowest=quantity("between", low, unit),
        highest=quantity("between", high, unit),
        error=quantity("error", entry.error, spread) or 0.0,
        stale_after=quantity("stale_after", entry.stale_after, "d"),
        invalidated_by=tuple(entry.invalidated_by),
        moves=entry.moves,
        measure=entry.measure,
        question=entry.question,
        said_as=tuple(entry.said_as),
        tells_of=entry.tells_of,
        evidence=entry.evidence,
    )
