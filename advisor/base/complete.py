"""Tables keyed by a vocabulary: proven whole when they load, not when a keeper meets the hole."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import Any, TypeVar, get_args

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


class IncompleteTable(Exception):
    """Our own fault: a table lacks a word that a file may say, or has one that none may."""


def complete(table: Mapping[K, V], vocabulary: Any) -> dict[K, V]:
    """The table, if it has exactly the words of a vocabulary. Raises `IncompleteTable`.

    vocabulary: a `Literal`, or any collection of words.
    """
    wanted = set(get_args(vocabulary) or vocabulary)
    missing = sorted(map(str, wanted - set(table)))
    strange = sorted(map(str, set(table) - wanted))
    if missing or strange:
        told = [f"lacks {', '.join(missing)}"] if missing else []
        told += [f"has {', '.join(strange)}, which nothing says"] if strange else []
        raise IncompleteTable(f"the table of {', '.join(map(str, table))} {' and '.join(told)}")
    return dict(table)
