"""Many of one kind: problems, the first few in full and the rest as a number; counts in words."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from advisor.base.problems import Place, Problems

#: Where a row stands: its index → file and line.
Where = Callable[[int], Place]

SHOWN = 20


def counted(number: int, noun: str) -> str:
    """`1 day`, `11,323 days`."""
    return f"{number:,} {noun}" if number == 1 else f"{number:,} {noun}s"


def report(
    problems: Problems,
    where: Where,
    rows: Sequence[int],
    say: Callable[[int], str],
    kind: str,
) -> None:
    """Add a problem for each of `rows` (indices of rows): at most `SHOWN`, then a count."""
    for row in rows[:SHOWN]:
        problems.add(where(row), say(row))
    left = len(rows) - SHOWN
    if left > 0:
        problems.add(where(rows[SHOWN]), f"and {left:,} more {kind}")
