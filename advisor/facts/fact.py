"""A fact of a day, the lawn it is of, and the vocabulary that names and measures all facts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal, TypeVar

from advisor.base.record import Record, replace
from advisor.base.vocabularies import Climate, SeasonType, Texture

Value = float | bool | str
Basis = Literal["measured", "recorded", "stated", "computed", "assumed"]


class Fact(Record, frozen=True):
    """`value` is in the fact's canonical unit; None means unknown.

    basis: *measured* by the keeper, *recorded* as work done, *stated* in the site file, *computed*
    from weather and place, or *assumed* (a default that the answer must show as such).
    on: the day the value was observed, or the last day of weather behind it.
    note: why it is unknown or how it was obtained, as a short clause.
    """

    name: str
    value: Value | None
    basis: Basis
    on: dt.date | None = None
    note: str = ""


V = TypeVar("V")


class LazyMap(Mapping[str, V]):
    """`ready` values, and makers for the rest; each maker runs once."""

    def __init__(self, ready: Mapping[str, V], makers: Mapping[str, Callable[[], V]]) -> None:
        self._ready = dict(ready)
        self._makers = dict(makers)

    def __getitem__(self, name: str) -> V:
        if name not in self._ready:
            self._ready[name] = self._makers[name]()
        return self._ready[name]

    def __contains__(self, name: object) -> bool:
        return name in self._ready or name in self._makers

    def __iter__(self) -> Iterator[str]:
        yield from dict.fromkeys((*self._makers, *self._ready))

    def __len__(self) -> int:
        return len(self._ready.keys() | self._makers.keys())


class Lawn(Record, frozen=True):
    """A lawn as the weather meets it.

    soil_offset_c: from the keeper's thermometer. texture, root_depth_mm: None if unknown, then so
    is the root-zone balance. irrigation_mm: recorded waterings by date. watering_unknown: the lawn
    can be watered and nobody recorded how much.
    """

    latitude: float
    elevation_m: float
    climate: Climate = "humid"
    season_type: SeasonType = "cool"
    soil_offset_c: float = 0.0
    texture: Texture | None = None
    root_depth_mm: float | None = None
    irrigation_mm: Mapping[dt.date, float] | None = None
    watering_unknown: bool = False


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
