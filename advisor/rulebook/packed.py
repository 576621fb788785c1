"""Parts of the rule book that stay pickled until somebody looks at them.

One question needs one operation or a few, and never the examples. So a cached book holds each
operation as bytes of its own, and its examples as bytes within those; carrying bytes costs nothing.
"""

from __future__ import annotations

import pickle
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Generic, TypeVar, overload

from advisor.rulebook.model import Example, Operation, RuleBook

T = TypeVar("T")


class PackedMapping(Mapping[str, T]):
    """A mapping whose values are unpickled one at a time, each at its first use."""

    def __init__(self, items: Mapping[str, T]) -> None:
        self._raw = {name: pickle.dumps(item) for name, item in items.items()}
        self._open: dict[str, T] = {}

    def __getitem__(self, name: str) -> T:
        if name not in self._open:
            self._open[name] = pickle.loads(self._raw[name])
        return self._open[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._raw)

    def __len__(self) -> int:
        return len(self._raw)

    def __contains__(self, name: object) -> bool:
        return name in self._raw


class PackedSequence(Sequence[T], Generic[T]):
    """A sequence that is unpickled as a whole at its first use."""

    def __init__(self, items: Sequence[T]) -> None:
        self._raw = pickle.dumps(tuple(items))
        self._count = len(items)
        self._open: tuple[T, ...] | None = None

    def _items(self) -> tuple[T, ...]:
        if self._open is None:
            self._open = pickle.loads(self._raw)
        return self._open

    @overload
    def __getitem__(self, at: int) -> T: ...
    @overload
    def __getitem__(self, at: slice) -> tuple[T, ...]: ...
    def __getitem__(self, at: int | slice) -> T | tuple[T, ...]:
        return self._items()[at]

    def __len__(self) -> int:
        return self._count

    def __eq__(self, other: object) -> bool:
        return isinstance(other, (tuple, PackedSequence)) and self._items() == tuple(other)

    def __hash__(self) -> int:
        return hash(self._raw)


def pack(book: RuleBook) -> bytes:
    """The whole book as bytes for the cache."""
    operations = {id: _packed_examples(o) for id, o in book.operations.items()}
    sources = PackedMapping(book.sources)
    return pickle.dumps(replace(book, operations=PackedMapping(operations), sources=sources))


def _packed_examples(operation: Operation) -> Operation:
    examples: Sequence[Example] = PackedSequence(operation.examples)
    return replace(operation, examples=examples)
