"""The names, units, ranges and ways to measure of every fact (rules/facts.yaml)."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from advisor.base.record import Record, replace

Kind = Literal["number", "flag", "choice", "date"]
Varies = Literal["site", "record", "weather", "operation", "calendar"]
Moves = Literal["up", "down"]

FAMILIES = ("days_since", "days_to", "wanted", "intended", "wait_reaches")
"""Facts that exist once for each operation, such as `days_since.core_aeration`."""


class FactDefinition(Record, frozen=True):
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
