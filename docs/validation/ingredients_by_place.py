"""Writes ingredients_by_place.md beside this file: what the law files say of active ingredients.

python docs/validation/ingredients_by_place.py
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from advisor.rulebook.actives import ASK, Bar
from advisor.rulebook.law import LawRule, Laws
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

PAGE = Path(__file__).with_suffix(".md")
_EFFECT = {
    "barred": "barred",
    "doubtful": "left out, not called barred",
    "ask": "named, with a question of its own",
    "allowed": "allowed",
}
_STATUS = {"read": "read", "second_hand": "only reported", "memory": "from memory"}
_INTRODUCTION = f"""# Active ingredients by place

Where the law of a place bars home use of an active ingredient, no answer, digest or plan names
it as a choice; where a ban was only reported, or what was read leaves it open, neither.
Everywhere else an ingredient is named with "{ASK}". The day advised on decides: bans begin and
end by the calendar, and one that begins within a year is said ahead. Only what was read is told
as the law. [How such a rule is written](../laws.md).

`tests/answers/test_ingredients_by_place.py` reads answers, digests, what to measure and free
days as they are shown (text, HTML, JSON) for 25 ingredients at 31 places, on five days of the
year and on both sides of the days on which bans begin or end. It holds them against a table
typed by hand from the sources (`tests/answers/ingredient_bars.py`), not against this one.

What this rests on was read on 29 November 2026, mostly as excerpts in stored copies. No live
page was opened, and law after the date of a copy was not seen. A copy of a code is not the
state's own site: the statute is cited, and its record says that it was read in a copy.
"""


def page(book: RuleBook) -> str:
    """The whole page, Markdown."""
    offered = ", ".join(sorted(book.offered))
    lines = [
        _INTRODUCTION,
        f"Texts of the rule book offer, where allowed: {offered}.\n",
        "| place | ingredients | home use | bars | from | until | known | source |",
        "|---|---|---|---|---|---|---|---|",
        *(row for law in book.laws.values() for row in _rows(law)),
        "",
    ]
    return "\n".join(lines)


def _rows(law: Laws) -> Iterator[str]:
    for rule in law.rules:
        if rule.bar is not None:
            cells = (law.title, *_cells(rule, rule.bar))
            yield "| " + " | ".join(cell.replace("|", "/") for cell in cells) + " |"


def _cells(rule: LawRule, bar: Bar) -> tuple[str, ...]:
    if bar.effect == "barred" and "home" not in bar.binds:
        effect = "see the other row"
    else:
        effect = _EFFECT[bar.effect]
    binds = " and ".join(sorted(bar.binds)) if bar.effect == "barred" else ""
    return (
        ", ".join(bar.named),
        effect,
        binds,
        bar.begins.isoformat() if bar.begins else "",
        bar.ends.isoformat() if bar.ends else "",
        _STATUS[bar.status],
        "; ".join(str(evidence) for evidence in rule.evidence),
    )


if __name__ == "__main__":
    PAGE.write_text(page(read_rulebook(cache=False)), encoding="utf-8")
