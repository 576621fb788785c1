"""The identification key as typed data: what to look at, and what each grass shows."""

from __future__ import annotations

from collections.abc import Mapping

from advisor.base.record import Record
from advisor.rulebook.conditions import Evidence


class Character(Record, frozen=True):
    """One thing to look at. states: id → in a keeper's words. seldom: often not to be seen."""

    id: str
    title: str
    question: str
    how: str
    states: Mapping[str, str]
    seldom: bool = False


class Trait(Record, frozen=True):
    """The states of one character that a grass may show, the usual one first."""

    states: tuple[str, ...]
    evidence: tuple[Evidence, ...]


class Key(Record, frozen=True):
    """characters in the order of the file; of each grass its traits by character."""

    characters: Mapping[str, Character]
    grasses: Mapping[str, Mapping[str, Trait]]

    def may_show(self, grass: str, character: str, state: str) -> bool:
        """Whether a grass may show a state; a character that is not printed for it says nothing."""
        trait = self.grasses[grass].get(character)
        return trait is None or state in trait.states

    def parts(self, character: str, one: str, other: str) -> bool:
        """Whether a character tells two grasses apart whichever of their states is found."""
        ours, theirs = self.grasses[one].get(character), self.grasses[other].get(character)
        return ours is not None and theirs is not None and not set(ours.states) & set(theirs.states)
