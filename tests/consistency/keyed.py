"""Pieces of data as the keys of the values that they hold, which are those of `tokens.Token`."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from tokens import tokens

Key = tuple[str, object]


def keys(*of: Any) -> Iterator[Key]:
    """All tokens in the strings of pieces of data. A date counts with its year and without."""
    for each in of:
        if isinstance(each, str):
            for token in tokens(each):
                yield token.key
                if token.kind == "date":
                    yield "date", (*token.value[:2], None)  # type: ignore[index]
        elif isinstance(each, Mapping):
            yield from keys(*each.values())
        elif isinstance(each, list):
            yield from keys(*each)


def number(kind: str, value: float | None) -> Iterator[Key]:
    if value is not None:
        yield kind, Decimal(str(round(value, 2))).normalize()


def chance(share: float) -> Key:
    return "chance", (round(10 * share), 10)


def fahrenheit(celsius: float) -> Iterator[Key]:
    """A limit in either scale, as it is printed."""
    yield from number("°C", round(celsius))
    yield from number("°F", round(celsius * 9 / 5 + 32))


def gate(of: Mapping[str, Any]) -> Iterator[Key]:
    yield from keys(of)
    if of["days"]:
        yield "working day" if of["working_days"] else "day", Decimal(of["days"])


def season(of: Mapping[str, Any] | None) -> Iterator[Key]:
    if of is None:
        return
    yield from keys(of["possible"], of["best"])
    if of["possible"]:
        yield "year", Decimal(of["possible"]["years"])
    # What a cautious end and a spread are: their words have no number of their own.
    yield from [("chance", (8, 10)), ("chance", (1, 10))]
