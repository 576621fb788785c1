"""A fact, the mapping that makes dear ones when they are asked for, and the lawn they are of."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Mapping
from typing import Literal, TypeVar

from advisor.base.record import Record
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
