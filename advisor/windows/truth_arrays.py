"""The array reader of condition trees: one truth for every member and day at once."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from numpy.typing import NDArray

from advisor.rulebook.conditions import Condition, Leaf

Series = NDArray[np.float64] | float | str
TruthArray = NDArray[np.int8]

TRUE, FALSE, UNKNOWN = np.int8(1), np.int8(0), np.int8(-1)


def truth_array(
    condition: Condition, series: Mapping[str, Series | None], shape: tuple[int, ...]
) -> TruthArray:
    """The tree's truth, shape `shape`: 1 true, 0 false, -1 unknown.

    `series` maps a fact to an array that broadcasts to `shape` (NaN is unknown, flags are 0 and
    1), to one number or choice for all days, or to None. Raises KeyError for a missing fact.
    """
    if isinstance(condition, Leaf):
        return _leaf(condition, series[condition.fact], shape)
    parts = [truth_array(part, series, shape) for part in condition.parts]
    if condition.how == "all":
        return _all(parts)
    found = _any(parts)
    return found if condition.how == "any" else _not(found)


def _all(parts: list[TruthArray]) -> TruthArray:
    false = np.any([p == FALSE for p in parts], axis=0)
    unknown = np.any([p == UNKNOWN for p in parts], axis=0)
    return _compose(false, unknown, FALSE, TRUE)


def _any(parts: list[TruthArray]) -> TruthArray:
    true = np.any([p == TRUE for p in parts], axis=0)
    unknown = np.any([p == UNKNOWN for p in parts], axis=0)
    return _compose(true, unknown, TRUE, FALSE)


def _compose(decided: Any, unknown: Any, when: np.int8, otherwise: np.int8) -> TruthArray:
    out: TruthArray = np.where(decided, when, np.where(unknown, UNKNOWN, otherwise))
    return out.astype(np.int8)


def _not(part: TruthArray) -> TruthArray:
    flipped: TruthArray = np.where(part == UNKNOWN, UNKNOWN, 1 - part).astype(np.int8)
    return flipped


def _leaf(leaf: Leaf, value: Series | None, shape: tuple[int, ...]) -> TruthArray:
    if isinstance(value, str) or value is None:
        known = np.full(shape, value is not None)
        holds = np.full(shape, value is not None and _compare_choice(leaf, str(value)))
    else:
        array = np.broadcast_to(np.asarray(value, dtype=np.float64), shape)
        known = ~np.isnan(array)
        holds = _compare_number(leaf, array)
    if leaf.comparison == "known":
        asked: TruthArray = np.asarray(known == bool(leaf.limit), dtype=np.int8)
        return asked
    truth: TruthArray = np.where(known, holds, UNKNOWN).astype(np.int8)
    return truth


def _compare_choice(leaf: Leaf, value: str) -> bool:
    limits = leaf.limit if isinstance(leaf.limit, tuple) else (leaf.limit,)
    inside = value in limits
    return not inside if leaf.comparison in ("is_not", "none_of") else inside


def _compare_number(leaf: Leaf, array: NDArray[np.float64]) -> NDArray[np.bool_]:
    limit: Any = leaf.limit
    if leaf.comparison == "known":
        return np.ones(array.shape, dtype=bool)
    if isinstance(limit, tuple):
        inside = np.isin(array, np.asarray(limit, dtype=np.float64))
        return ~inside if leaf.comparison == "none_of" else inside
    with np.errstate(invalid="ignore"):
        result = {
            "over": np.greater,
            "under": np.less,
            "at_least": np.greater_equal,
            "at_most": np.less_equal,
            "is": np.equal,
            "is_not": np.not_equal,
        }[leaf.comparison](array, float(limit))
    return np.asarray(result)
