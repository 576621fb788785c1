"""Cautions (rules/cautions.yaml): each danger once, in full and in a few words."""

from __future__ import annotations

from typing import Literal

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems
from advisor.base.strict_yaml import Document
from advisor.rulebook.model import Caution

MOST_SHORT_WORDS = 9
"""A short form stands beside a task in a digest, where space is scarce."""


class _CautionEntry(FileModel):
    short: str
    text: str


class _CautionsFile(FileModel):
    format: Literal[1]
    cautions: dict[str, _CautionEntry]


def read_cautions(document: Document) -> dict[str, Caution]:
    """The cautions by id. Raises `BadInput` with every problem found."""
    file = check_document(_CautionsFile, document)
    problems = Problems()
    for id, entry in file.cautions.items():
        words = len(entry.short.split())
        if not 1 <= words <= MOST_SHORT_WORDS:
            what = f"'{id}' has a short form of {words} words; wanted 1 to {MOST_SHORT_WORDS}"
            problems.add(document.place(("cautions", id, "short")), what)
        if not entry.text.strip():
            problems.add(document.place(("cautions", id, "text")), f"'{id}' has no text")
    problems.raise_if_any()
    return {id: Caution(entry.short, entry.text) for id, entry in file.cautions.items()}
