"""Texts that are taken from the rule files as they stand: their numbers are the rule book's own."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any

RULES = Path(__file__).parents[2] / "rules"
STATIC = ("cautions", "safety", "how", "sources", "source", "law", "weather")
"""Fields whose texts are taken from rule files, or told of the whole as they stand."""


def told_texts(forms: Mapping[str, Any]) -> str:
    """Those that the data hold, in the keeper's units where they name any."""
    return " | ".join(_texts(forms)).lower()


def _texts(of: Any, name: str = "") -> Iterator[str]:
    if isinstance(of, str):
        if name in STATIC:
            yield " ".join(of.split())
    elif isinstance(of, Mapping):
        for key, each in of.items():
            yield from _texts(each, name if name in STATIC else key)
    elif isinstance(of, list):
        for each in of:
            yield from _texts(each, name)


@cache
def rule_book() -> str:
    """The words of all rule files, in one line."""
    read = (path.read_text(encoding="utf-8") for path in sorted(RULES.rglob("*.yaml")))
    bare = (re.sub(r"^\s*#.*$", "", text, flags=re.MULTILINE) for text in read)
    return " ".join(" ".join(bare).split()).lower()


@cache
def in_rule_book(sentence: str) -> bool:
    return sentence in rule_book()
