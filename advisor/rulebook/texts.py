"""Sentences and ids of rule files: only known placeholders, and each id once."""

from __future__ import annotations

import re

from advisor.base.problems import Place, Problems, did_you_mean

LEAF_PLACEHOLDERS = ("value", "limit")
"""What the sentences of a condition may leave open; filled in with the keeper's units."""
_BRACED = re.compile(r"\{([^{}]*)\}")


def check_text(text: str, allowed: tuple[str, ...], place: Place, problems: Problems) -> None:
    """Complain of every placeholder in `text` that is not `allowed`, and of a lone brace."""
    for name in _BRACED.findall(text):
        if name not in allowed:
            wanted = " or ".join(f"{{{known}}}" for known in allowed)
            hint = did_you_mean(name, allowed) or (f"; allowed here: {wanted}" if wanted else "")
            problems.add(place, f"'{{{name}}}' cannot be filled in here{hint}")
    if set(_BRACED.sub("", text)) & {"{", "}"}:
        problems.add(place, "a brace without its partner; write placeholders like {value}")


def check_once(ids: list[str], noun: str, places: list[Place], problems: Problems) -> None:
    """Complain of every id that stands a second time."""
    seen: set[str] = set()
    for id, place in zip(ids, places, strict=True):
        if id in seen:
            problems.add(place, f"{noun} id '{id}' stands twice; give it another")
        seen.add(id)
