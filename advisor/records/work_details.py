"""What a keeper says about work done: `passes=3; depth=3 in`."""

from __future__ import annotations

from collections.abc import Callable
from difflib import get_close_matches

from advisor.base.units import UnitError, parse_quantity
from advisor.records.ranges import say_range

# Key: canonical unit and the range that only catches slips of the pen (a wrong unit, a digit too
# many); the rule files, not these, say how much is right.
KNOWN_DETAILS: dict[str, tuple[str, float, float]] = {
    "passes": ("", 1, 20),
    "depth": ("mm", 0, 500),
    "water": ("mm", 0, 200),
    "rate": ("g/m2", 0, 50_000),
    "n": ("g/m2", 0, 50),
    "seed": ("g/m2", 0, 500),
    "share": ("share", 0, 1),
    "took": ("h", 0.02, 48),
}


def read_details(text: str, tell: Callable[[str], None]) -> dict[str, float | str]:
    """The details in the value cell of a work record; `tell` is called with each problem.

    Known keys become canonical floats (passes, depth and water in mm, rate, n and seed in g/m²,
    share 0 to 1, took in h); any other key keeps its text.
    """
    details: dict[str, float | str] = {}
    for part in filter(None, (piece.strip() for piece in text.split(";"))):
        key, _, given = (piece.strip() for piece in part.partition("="))
        key = key.lower()
        if not (key and given):
            tell(f"'{part}' is no detail; write key=value, such as 'passes=3; depth=3 in'")
        elif key in details:
            tell(f"detail '{key}' stands twice; keep one")
        elif key in KNOWN_DETAILS:
            details[key] = _typed(key, given, tell)
        elif near := get_close_matches(key, list(KNOWN_DETAILS), n=1, cutoff=0.75):
            tell(f"unknown detail '{key}', did you mean '{near[0]}'?")
        else:
            details[key] = given
    return details


def _typed(key: str, given: str, tell: Callable[[str], None]) -> float:
    unit, lowest, highest = KNOWN_DETAILS[key]
    try:
        value = parse_quantity(given, unit)
    except UnitError as error:
        tell(f"{key}: {error}")
        return 0.0
    if not lowest <= value <= highest:
        tell(f"{key}: '{given}' is not plausible; wanted {say_range(unit, lowest, highest)}")
    elif key == "passes" and value != int(value):
        tell(f"{key}: '{given}' is no whole number")
    return value
