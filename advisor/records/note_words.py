"""What a note is about: the fact or operation whose words stand in it."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping
from typing import Literal

from advisor.base.record import Record

Subject = Literal["fact", "operation"]
_WORD = re.compile(r"[a-z]+")
_IRREGULAR = {
    "fed": "feed", "sown": "sow", "mown": "mow", "swept": "sweep", "dug": "dig", "spread": "spread",
    "ran": "run", "spun": "spin",
}  # fmt: skip
_ENDINGS = ("ing", "ed", "es", "s", "e")
_SHORTEST_STEM = 3


class Match(Record, frozen=True):
    """A name of the tables and the words of the note that stand for it."""

    subject: Subject
    name: str
    said: tuple[str, ...]


def words(text: str) -> tuple[str, ...]:
    """The words of lower-case text, without figures and marks."""
    return tuple(_WORD.findall(text.replace("_", " ").replace("'", "").replace("’", "")))


def stem(word: str) -> str:
    """A word without its ending, so that `cored`, `coring` and `core` are one."""
    word = _IRREGULAR.get(word, word)
    for ending in _ENDINGS:
        rest = word.removesuffix(ending)
        short = len(rest) < _SHORTEST_STEM - (ending == "e")
        # In "seed" and "weed" the last two letters are no ending.
        if rest != word and not short and not (ending == "ed" and rest.endswith("e")):
            word = rest
            break
    if word.endswith("i"):
        return f"{word[:-1]}y"
    return word[:-1] if len(word) > _SHORTEST_STEM and word[-1] == word[-2] else word


def find_subjects(
    text: str,
    facts: Mapping[str, Iterable[str]],
    operations: Mapping[str, Iterable[str]],
) -> list[Match]:
    """The longest phrases of the note that name a fact or an operation; several if they tie.

    The tables map a name to the phrases keepers use for it; the name itself always counts.
    """
    spoken = words(text)
    stems = [stem(word) for word in spoken]
    found: dict[tuple[Subject, str], Match] = {}
    tables: tuple[tuple[Subject, Mapping[str, Iterable[str]]], ...] = (
        ("fact", facts),
        ("operation", operations),
    )
    for subject, table in tables:
        for name, phrases in table.items():
            for phrase in (name, *phrases):
                wanted = [stem(word) for word in words(phrase.lower())]
                at = _position(wanted, stems)
                best = found.get((subject, name))
                if at is not None and (best is None or len(wanted) > len(best.said)):
                    said = spoken[at : at + len(wanted)]
                    found[subject, name] = Match(subject, name, said)
    longest = max((len(match.said) for match in found.values()), default=0)
    return [match for match in found.values() if len(match.said) == longest]


def choice_in(text: str, choices: Collection[str]) -> str | None:
    """The one choice that the note names, the longest if one holds another; else None."""
    stems = [stem(word) for word in words(text)]
    named = {
        choice: len(wanted)
        for choice in choices
        if _position(wanted := [stem(word) for word in words(choice)], stems) is not None
    }
    longest = [choice for choice, length in named.items() if length == max(named.values())]
    return longest[0] if len(longest) == 1 else None


def _position(wanted: list[str], stems: list[str]) -> int | None:
    if not wanted:
        return None
    for start in range(len(stems) - len(wanted) + 1):
        if stems[start : start + len(wanted)] == wanted:
            return start
    return None
