"""Writes docs/rules/*.md from the rule book. Run by hand: `python docs/make_rules.py`."""

from __future__ import annotations

from pathlib import Path

from advisor.rulebook.pages.whole import all_pages
from advisor.rulebook.read_rulebook import read_rulebook

FOLDER = Path(__file__).parent / "rules"


def make() -> dict[str, str]:
    """File name → content of everything under docs/rules."""
    return all_pages(read_rulebook(cache=False))


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    pages = make()
    for old in FOLDER.glob("*.md"):
        if old.name not in pages:
            old.unlink()
    for name, content in pages.items():
        (FOLDER / name).write_text(content, encoding="utf-8")
