"""The body of an answer as JSON and numbers, with a plain word where it is something else."""

from __future__ import annotations

from typing import Any

from advisor.base.text import from_json
from advisor.fetch.client import Answer
from advisor.fetch.failure import FetchFailed

_LARGEST = 1e9
"""Sums and means of larger numbers could overflow, and no weather is told in such (chosen)."""


def refuse_web_page(answer: Answer) -> None:
    """Raise `FetchFailed` for HTML, which networks with a log-in put in place of any answer."""
    if answer.text.lstrip()[:1] == "<":
        what = "the answer is a web page, not data; does this network want a log-in?"
        raise FetchFailed(f"{answer.host}: {what}")


def read_json(answer: Answer) -> Any:
    """The whole of a JSON answer. Raises `FetchFailed`."""
    refuse_web_page(answer)
    try:
        return from_json(answer.text)
    except ValueError:
        what = "the answer is no whole JSON; it may have broken off"
        raise FetchFailed(f"{answer.host}: {what}") from None


def as_number(value: Any) -> float | None:
    """A JSON number that weather may have in any unit; None for anything else."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if abs(number) <= _LARGEST else None
