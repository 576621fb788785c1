"""A comparison of a rule file in a few words, as the label of a count."""

from __future__ import annotations

from advisor.answers.words import Words
from advisor.facts.fact import FactDefinition
from advisor.rulebook.conditions import Comparison, Leaf

_SAID: dict[Comparison, str] = {
    "over": "{} over {}",
    "under": "{} under {}",
    "at_least": "{} at least {}",
    "at_most": "{} at most {}",
    "is": "{}: {}",
    "is_not": "{}: not {}",
    "one_of": "{}: {}",
    "none_of": "{}: not {}",
    "known": "{} known: {}",
}


def say_condition(leaf: Leaf, definition: FactDefinition, words: Words) -> str:
    """`day length under 10.6 h`, with the limit in the keeper's units."""
    return _SAID[leaf.comparison].format(definition.title, words.limit(leaf, definition))
