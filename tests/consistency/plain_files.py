"""A lawn's own files and the rule files as plain data: no code is shared with the program.

Quantities by the exact factors of NIST SP 811 (2008), appendix B: an inch is 25.4 mm, a pound
453.59237 g, a US gallon 3.785411784 L.
"""

from __future__ import annotations

import csv
import datetime as dt
import io
import re
from functools import cache
from pathlib import Path
from typing import Any

import yaml

RULES = Path(__file__).parents[2] / "rules"
FOOT = 0.3048
POUND = 453.59237
GALLON = 3.785411784
FACTORS = {
    "m2": 1.0, "ft2": FOOT**2, "in": 25.4, "mm": 1.0, "ft": 1000 * FOOT, "h": 60.0, "min": 1.0,
    "%": 0.01, "d": 1.0, "mph": 1609.344 / 60, "lb/1000ft2": POUND / (1000 * FOOT**2),
    "g/m2": 1.0, "in/h": 25.4, "mm/h": 1.0,
}  # fmt: skip
"""To m², mm, min, shares, days, m/min, g/m² and mm/h."""


def quantity(text: object) -> float:
    """`0.9 lb/1000ft2` in the unit of `FACTORS`. Raises `KeyError` for a unit that is not there."""
    found = re.fullmatch(r"([\d.]+)(?: (\S+))?", str(text))
    assert found, text
    return float(found[1]) * (FACTORS[found[2]] if found[2] else 1.0)


@cache
def rule_file(name: str) -> dict[str, Any]:
    """A file of rules/, such as `grasses/tall_fescue`."""
    text = (RULES / f"{name}.yaml").read_text(encoding="utf-8")
    return yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))


def limit(grass: str, name: str) -> float | None:
    """A number of a grass, or None where its file has none."""
    found = rule_file(f"grasses/{grass}")["limits"].get(name)
    return None if found is None else quantity(found["value"])


def laws_at(place: dict[str, Any]) -> list[dict[str, Any]]:
    """The rules of every law that holds at a place (docs/laws.md: the larger and the smaller)."""
    found: list[dict[str, Any]] = []
    for path in sorted((RULES / "laws").glob("*.yaml")):
        law = rule_file(f"laws/{path.stem}")
        if all(str(place.get(key)) == value for key, value in law["place"].items()):
            found += law["rules"]
    return found


def journal_rows(text: str, on: dt.date) -> list[dict[str, str]]:
    """What stands on a day, oldest first: nothing later, and nothing that was taken back."""
    rows = [row for row in csv.DictReader(io.StringIO(text)) if row["date"] <= on.isoformat()]
    gone = {row["what"] for row in rows if row["kind"] == "undo"}
    kept = [row for row in rows if row["kind"] != "undo" and row["id"] not in gone]
    return sorted(kept, key=lambda row: row["date"])


def details(row: dict[str, str]) -> dict[str, str]:
    """`passes=2; took=55 min` of a row that tells of work."""
    pairs = (part.partition("=") for part in row["value"].split(";") if "=" in part)
    return {key.strip(): value.strip() for key, _, value in pairs}
