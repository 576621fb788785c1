"""Why nothing came, in one sentence."""

from __future__ import annotations

from typing import Any

from advisor.base.problems import BadInput
from advisor.base.text import from_json

_REASONS = ("detail", "reason", "errorMessage", "message", "title")


class FetchFailed(Exception):
    """A source gave nothing that can be used. missing: it says that there is no such thing."""

    def __init__(self, what: str, *, missing: bool = False) -> None:
        super().__init__(what)
        self.missing = missing


def reason_in(text: str) -> str:
    """What an error answer in JSON gives as its reason, on one line; empty if none."""
    try:
        found: Any = from_json(text)
    except ValueError:
        return ""
    if not isinstance(found, dict):
        return ""
    said = next((found[key] for key in _REASONS if isinstance(found.get(key), str)), "")
    return " ".join(said.split())


def unusable(host: str, error: BadInput) -> FetchFailed:
    """The first of the problems with an answer, and how many more there are."""
    first = error.problems[0]
    line = f" line {first.place.line}:" if first.place.line else ""
    more = len(error.problems) - 1
    rest = f" (and {more:,} more)" if more else ""
    return FetchFailed(f"{host}: the answer is of no use:{line} {first.what}{rest}")
