"""Which grass is it? Questions of the identification key, one at a time, and where they lead."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations

from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.base.record import Record
from advisor.records.words import as_name
from advisor.rulebook.key import Character, Key
from advisor.rulebook.model import RuleBook

DONT_KNOW = ""
"""The answer of somebody who looked and cannot tell."""
_DONT_KNOW_SAID = ("", "?", "dont_know", "not_sure", "unknown")
_PLACE = Place("the answers")


class Finding(Record, frozen=True):
    """Where the answers lead.

    remaining: grasses that no answer contradicts. next: what to ask now; None if nothing more can
    part them. look_at: the characters that tell the remaining grasses apart, of those not known.
    against: where nothing remains, the nearest grasses, each with the characters that it fails.
    """

    remaining: tuple[str, ...]
    next: Character | None
    look_at: tuple[Character, ...]
    against: tuple[tuple[str, tuple[Character, ...]], ...] = ()

    @property
    def grass(self) -> str | None:
        """The one grass that is left."""
        return self.remaining[0] if len(self.remaining) == 1 else None


def key_of(book: RuleBook) -> Key:
    """The rule book's key. Raises `BadInput` for a rule book without one."""
    if book.key is None:
        raise BadInput.at(Place("rules/identify.yaml"), "this file is missing from the rule book")
    return book.key


def find(key: Key, answers: Mapping[str, str]) -> Finding:
    """What the answers (character → state, or `DONT_KNOW`) leave, and what to ask next."""
    known = {character: state for character, state in answers.items() if state != DONT_KNOW}
    remaining = tuple(
        grass
        for grass in key.grasses
        if all(key.may_show(grass, character, state) for character, state in known.items())
    )
    if not remaining:
        return Finding((), None, (), _nearest(key, known))
    open_ = [c for id, c in key.characters.items() if id not in answers]
    helpful = [c for c in open_ if _left_by(key, c, remaining) < len(remaining)]
    best = min(helpful, key=lambda c: (c.seldom, _left_by(key, c, remaining)), default=None)
    return Finding(remaining, best, _parting(key, known, remaining))


def read_answers(key: Key, text: str) -> dict[str, str]:
    """`bud=folded, tip=boat, ligule=?` as answers. Raises `BadInput` for what the key lacks."""
    found: dict[str, str] = {}
    for part in filter(None, (p.strip() for p in text.split(","))):
        name, equals, said = part.partition("=")
        character = key.characters.get(as_name(name))
        if not equals or character is None:
            near = did_you_mean(as_name(name), key.characters)
            known = near or f"; known: {', '.join(key.characters)}"
            raise BadInput.at(_PLACE, f"'{part}' is no character=state of the key{known}")
        found[character.id] = read_state(character, said)
    return found


def read_state(character: Character, said: str) -> str:
    """A state by its name or its number; `DONT_KNOW` for ?, or nothing. Raises `BadInput`."""
    state = str(as_name(said))
    if state in _DONT_KNOW_SAID:
        return DONT_KNOW
    states = list(character.states)
    if state.isdigit() and 1 <= int(state) <= len(states):
        return states[int(state) - 1]
    if state not in states:
        near = did_you_mean(state, states) or f"; known: {', '.join(states)}, or ?"
        raise BadInput.at(_PLACE, f"{character.title}: no '{said.strip()}'{near}")
    return state


def _left_by(key: Key, character: Character, grasses: tuple[str, ...]) -> float:
    """How many grasses an answer leaves on average, each grass being as likely as another.

    A grass with several states shows each as often; one of which none is printed shows all.
    """
    left = {state: [g for g in grasses if key.may_show(g, character.id, state)]
            for state in character.states}  # fmt: skip
    total = 0.0
    for grass in grasses:
        shows = [state for state in character.states if grass in left[state]]
        total += sum(len(left[state]) for state in shows) / len(shows)
    return total / len(grasses)


def _parting(
    key: Key, known: Mapping[str, str], remaining: tuple[str, ...]
) -> tuple[Character, ...]:
    """The characters not known that part two of the remaining grasses for sure."""
    return tuple(
        character
        for id, character in key.characters.items()
        if id not in known and any(key.parts(id, *pair) for pair in combinations(remaining, 2))
    )


def _nearest(key: Key, known: Mapping[str, str]) -> tuple[tuple[str, tuple[Character, ...]], ...]:
    failed = {
        grass: tuple(key.characters[c] for c, s in known.items() if not key.may_show(grass, c, s))
        for grass in key.grasses
    }
    fewest = min(map(len, failed.values()))
    return tuple((grass, wrong) for grass, wrong in failed.items() if len(wrong) == fewest)
