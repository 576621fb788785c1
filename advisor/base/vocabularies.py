"""Vocabularies, and tables keyed by one: proven whole when they load."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from typing import Any, Literal, TypeVar, get_args

# The twelve texture classes of the USDA Soil Survey Manual (2017), chapter 3.
Texture = Literal[
    "sand", "loamy_sand", "sandy_loam", "loam", "silt_loam", "silt", "sandy_clay_loam",
    "clay_loam", "silty_clay_loam", "sandy_clay", "silty_clay", "clay",
]  # fmt: skip
Sun = Literal["full", "partial", "shade"]
Slope = Literal["flat", "gentle", "steep"]
Climate = Literal["humid", "arid"]
SeasonType = Literal["cool", "warm"]
"""Of a grass, told by its own file."""
ToolKind = Literal[
    "core_aerator", "vertical_mower", "slit_seeder", "tiller", "roller", "mower", "spreader",
]  # fmt: skip
"""The machines of rules/work.yaml."""


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
