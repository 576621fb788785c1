"""How many contradictions of each kind are known, lawn by lawn: counts that may only fall."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

LEDGER = Path(__file__).parent / "ledger.json"
LONG = Path(__file__).parent / "ledger_long.json"
Counts = Mapping[str, int]


def read(path: Path) -> dict[str, dict[str, int]]:
    """Counts by lawn and day; a pair that is not there has none."""
    if not path.exists():
        return {}
    found: dict[str, dict[str, int]] = json.loads(path.read_text(encoding="utf-8"))
    return found


def over(found: Counts, allowed: Counts) -> dict[str, tuple[int, int]]:
    """The kinds of which there are more than allowed: how many, and how many were."""
    return {
        kind: (number, allowed.get(kind, 0))
        for kind, number in found.items()
        if number > allowed.get(kind, 0)
    }
