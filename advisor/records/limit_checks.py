"""Checks between `limits` of site.yaml and the tools. They read the document, not the model."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from advisor.base.problems import Problem
from advisor.base.strict_yaml import Document
from advisor.records.limit_values import tool_of
from advisor.records.words import as_name


def limit_problems(document: Document) -> Iterator[Problem]:
    """Days of a machine that nobody hires, and a machine whose days stand in two entries."""
    root = document.data if isinstance(document.data, dict) else {}
    limits = root.get("limits")
    hired = {tool_of(t.get("kind")) for t in _listed(root.get("tools")) if _is_hired(t)}
    seen: set[Any] = set()
    entries = _listed(limits.get("hired_on")) if isinstance(limits, dict) else []
    for number, entry in enumerate(entries):
        kind = tool_of(entry.get("kind"))
        place = document.place(("limits", "hired_on", number, "kind"))
        if not isinstance(kind, str):
            continue
        if kind in seen:
            what = f"the days of '{entry['kind']}' stand twice; put them into one entry"
            yield Problem(place, what)
        elif kind not in hired:
            what = (
                f"'{entry['kind']}' is no machine that you hire; wanted one that stands under "
                "'tools' with 'have: hired'"
            )
            yield Problem(place, what)
        seen.add(kind)


def _is_hired(tool: dict[str, Any]) -> bool:
    return as_name(tool.get("have")) in ("hired", "rented")


def _listed(found: Any) -> list[dict[str, Any]]:
    return [e if isinstance(e, dict) else {} for e in found] if isinstance(found, list) else []
