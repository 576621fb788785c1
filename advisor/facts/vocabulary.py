"""The names, units, ranges and ways to measure of every fact (rules/facts.yaml)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Annotated, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems
from advisor.base.strict_yaml import Document
from advisor.base.units import UnitError, canonical_units, parse_quantity

Kind = Literal["number", "flag", "choice", "date"]
Varies = Literal["site", "record", "weather", "operation", "calendar"]
Moves = Literal["up", "down"]

FAMILIES = ("days_since", "days_to", "wanted", "intended", "wait_reaches")
"""Facts that exist once for each operation, such as `days_since.core_aeration`."""


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


@dataclass(frozen=True)
class FactDefinition:
    """What is known about one fact.

    unit, lowest, highest, error: canonical unit. stale_after: days a record may be old.
    invalidated_by: operations after which an earlier record is void. moves: the fact grows or
    falls by one each day. tells_of: the operation that a reading tells of as done. measure: how a
    keeper takes it. question: how to ask for it.
    """

    name: str
    title: str
    kind: Kind
    varies: Varies
    unit: str = ""
    choices: tuple[str, ...] = ()
    lowest: float | None = None
    highest: float | None = None
    error: float = 0.0
    stale_after: float | None = None
    invalidated_by: tuple[str, ...] = ()
    moves: Moves | None = None
    measure: str = ""
    question: str = ""
    said_as: tuple[str, ...] = ()
    tells_of: str = ""
    evidence: str = ""

    @property
    def of_keeper(self) -> bool:
        """Whether a keeper can measure or change it."""
        return bool(self.measure or self.question)


@dataclass(frozen=True)
class Vocabulary(Mapping[str, FactDefinition]):
    """All facts by name. A member of a family is looked up as `family.operation`.

    spoken: how an operation is called within a sentence, where its id does not say it.
    """

    definitions: dict[str, FactDefinition]
    operations: frozenset[str] = frozenset()
    spoken: Mapping[str, str] = field(default_factory=dict)
    _members: dict[str, FactDefinition] = field(
        default_factory=dict, init=False, compare=False, repr=False
    )

    def __getitem__(self, name: str) -> FactDefinition:
        if name not in self._members:
            self._members[name] = self._member(name)
        return self._members[name]

    def _member(self, name: str) -> FactDefinition:
        family, dot, operation = name.partition(".")
        if dot and family in FAMILIES and operation in self.operations:
            base = self.definitions[family]
            said = self.spoken.get(operation, operation.replace("_", " "))
            words = {k: getattr(base, k).format(operation=said) for k in ("title", "question")}
            return replace(base, name=name, **words)
        if name in FAMILIES:
            raise KeyError(name)
        return self.definitions[name]

    def __iter__(self) -> Iterator[str]:
        for name in self.definitions:
            if name in FAMILIES:
                yield from (f"{name}.{operation}" for operation in sorted(self.operations))
            else:
                yield name

    def __len__(self) -> int:
        return sum(1 for _ in self)


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
