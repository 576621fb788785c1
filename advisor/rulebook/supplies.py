"""The numbers behind the shopping list (rules/supplies.yaml), each with its evidence."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Annotated, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.paths import data_folder
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document, load_file
from advisor.base.units import UnitError, parse_quantity
from advisor.rulebook.evidence import Evidence, Source
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence

SUPPLIES_FILE = "supplies.yaml"


@dataclass(frozen=True)
class SupplyNumbers:
    """Values by name, in canonical units, and what stands behind each."""

    values: Mapping[str, float]
    behind: Mapping[str, tuple[Evidence, ...]]

    def __getitem__(self, name: str) -> float:
        return self.values[name]

    def evidence(self, *names: str) -> tuple[Evidence, ...]:
        """What stands behind some values, each once."""
        return tuple(dict.fromkeys(e for name in names for e in self.behind[name]))


class _Value(FileModel):
    value: str
    unit: str
    evidence: Annotated[list[str], Field(min_length=1)]
    range: str = ""


class _File(FileModel):
    format: Literal[1]
    values: dict[str, _Value]
    evidence: list[EvidenceEntry]


def read_supply_numbers(sources: Mapping[str, Source]) -> SupplyNumbers:
    """The file of the rule book. Raises `BadInput` with every problem found."""
    path = data_folder("rules") / SUPPLIES_FILE
    return supply_numbers_of(load_file(path, f"rules/{SUPPLIES_FILE}"), sources)


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
