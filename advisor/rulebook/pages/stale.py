"""Stale evidence as lines and as plain data."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import Any

from advisor.rulebook.stale import Stale


def stale_lines(found: tuple[Stale, ...], on: dt.date, years: float) -> Iterator[str]:
    """One line for each, the oldest first, and the count."""
    for one in found:
        read = one.checked.isoformat() if one.checked else "no day written down"
        yield f"{read}  {one.where}, {one.evidence}: {one.what}"
    said = f"not checked in the {years:g} years before {on.isoformat()}"
    yield f"{len(found)} pieces of published evidence {said}." if found else f"None {said}."


def stale_json(found: tuple[Stale, ...], on: dt.date, years: float) -> dict[str, Any]:
    """The same for other programs."""
    return {
        "on": on.isoformat(),
        "years": years,
        "stale": [
            {
                "where": one.where,
                "evidence": one.evidence,
                "source": one.what,
                "checked": one.checked.isoformat() if one.checked else None,
            }
            for one in found
        ],
    }
