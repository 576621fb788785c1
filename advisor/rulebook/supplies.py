"""The numbers behind the shopping list (rules/supplies.yaml), each with its evidence."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document
from advisor.base.units import UnitError, parse_quantity
from advisor.rulebook.conditions import Evidence, Source
from advisor.rulebook.effort import SupplyNumbers
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence

SUPPLIES_FILE = "supplies.yaml"


class _Value(FileModel):
    value: str
    unit: str
    evidence: Annotated[list[str], Field(min_length=1)]
    range: str = ""


class _File(FileModel):
    format: Literal[1]
    values: dict[str, _Value]
    evidence: list[EvidenceEntry]


def supply_numbers_of(document: Document, sources: Mapping[str, Source]) -> SupplyNumbers:
    """The numbers that a document holds. Raises `BadInput` with every problem found."""
    file = check_document(_File, document)
    problems = Problems()
    evidence = read_evidence(file.evidence, sources, document, problems)
    values: dict[str, float] = {}
    behind: dict[str, tuple[Evidence, ...]] = {}
    for name, entry in file.values.items():
        loc = ("values", name)
        try:
            values[name] = parse_quantity(entry.value, entry.unit)
        except UnitError as error:
            problems.add(document.place((*loc, "value")), str(error))
        for i, id in enumerate(entry.evidence):
            if id not in evidence:
                near = did_you_mean(id, evidence)
                what = f"evidence '{id}' is not declared below{near}"
                problems.add(document.place((*loc, "evidence", i)), what)
        behind[name] = tuple(evidence[id] for id in entry.evidence if id in evidence)
    problems.raise_if_any()
    return SupplyNumbers(values, behind)
