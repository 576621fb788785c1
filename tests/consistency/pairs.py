"""The pairs of a view and a field in which a fault is planted, each on a lawn that has it."""

from __future__ import annotations

import json
from collections.abc import Mapping
from pathlib import Path

PAIRS = Path(__file__).parent / "pairs.json"


def listed() -> dict[str, list[str]]:
    """By lawn and day."""
    found: dict[str, list[str]] = json.loads(PAIRS.read_text(encoding="utf-8"))
    return found


def write(occurring: Mapping[str, set[str]]) -> None:
    """Each pair once, on the lawn with the fewest so far. occurring: pairs by lawn and day."""
    chosen: dict[str, list[str]] = {key: [] for key in occurring}
    for pair in sorted(set().union(*occurring.values())):
        having = [key for key, of in occurring.items() if pair in of]
        fewest = min(having, key=lambda key: len(chosen[key]))
        chosen[fewest].append(pair)
    kept = {key: of for key, of in chosen.items() if of}
    PAIRS.write_text(json.dumps(kept, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
