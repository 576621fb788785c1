"""A mapping whose dearer values are made when somebody asks for them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

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
