"""What the identification key found, as sentences and as plain data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from advisor.answers.identify import DONT_KNOW, Finding
from advisor.answers.words import listed, sentence
from advisor.rulebook.key import Character, Key
from advisor.rulebook.model import RuleBook

ONLY_THESE = (
    "The key knows the lawn grasses of this rule book and no others; a weed grass may look like "
    "one of them. Look at several plants: most lawns are mixtures. A garden club or an extension "
    "office can name a sample with roots."
)


Line = tuple[str, str]
"""A bullet, which may be empty, and a text."""
_ITEM = "  - "


def question_lines(character: Character) -> Iterator[Line]:
    """The question, how to see it, and the numbered answers."""
    yield "", f"{character.question} {character.how}"
    for i, said in enumerate(character.states.values(), 1):
        yield f"  {i}  ", said
    yield "  ?  ", "I cannot tell"


def finding_lines(finding: Finding, book: RuleBook, key: Key) -> Iterator[Line]:
    """One grass with what it shows, or what remains and what to look at."""
    titles = {id: grass.title for id, grass in book.grasses.items()}
    if finding.grass is not None:
        yield "", f"{sentence(titles[finding.grass])} What it shows:"
        for id, trait in key.grasses[finding.grass].items():
            character = key.characters[id]
            states = "; or ".join(character.states[s] for s in trait.states)
            yield _ITEM, f"{character.title}: {states}"
        yield "", f"In site.yaml write: stand: [{{grass: {finding.grass}}}]"
    elif finding.remaining:
        yield "", f"It may be {listed(tuple(titles[g] for g in finding.remaining), 'or')}."
        if finding.look_at:
            yield "", "To tell them apart, look at:"
        for character in finding.look_at:
            yield _ITEM, f"{character.title}: {_each(character, finding, key, titles)}"
        if finding.next is not None:
            yield "", f"What would tell most now: {finding.next.title} ({finding.next.id})."
            yield from question_lines(finding.next)
    else:
        yield "", "No grass of the key fits all of this."
        for grass, wrong in finding.against:
            but = listed(tuple(c.title for c in wrong))
            yield _ITEM, f"{titles[grass]} would fit but for: {but}; look at that again"
    yield "", ONLY_THESE


def _each(character: Character, finding: Finding, key: Key, titles: Mapping[str, str]) -> str:
    """`folded; the shoot is flat (Kentucky bluegrass), …` for those of which it is printed."""
    said = []
    for grass in finding.remaining:
        trait = key.grasses[grass].get(character.id)
        if trait is not None:
            states = " or ".join(character.states[s] for s in trait.states)
            said.append(f"{titles[grass]}: {states}")
    return "; ".join(said)


def source_lines(finding: Finding, key: Key) -> Iterator[Line]:
    """What the characters of the remaining grasses rest on, each source once."""
    traits = (t for grass in finding.remaining for t in key.grasses[grass].values())
    yield "", "Sources:"
    for said in dict.fromkeys(str(e) for trait in traits for e in trait.evidence):
        yield _ITEM, said


def finding_json(
    answers: Mapping[str, str], finding: Finding, book: RuleBook, key: Key
) -> dict[str, Any]:
    """The same for other programs. An answer of null means that the keeper cannot tell."""
    return {
        "format": 1,
        "rulebook": book.hash,
        "answers": {name: state if state != DONT_KNOW else None for name, state in answers.items()},
        "grass": finding.grass,
        "remaining": list(finding.remaining),
        "next": None if finding.next is None else _character_json(finding.next),
        "look_at": [character.id for character in finding.look_at],
        "against": {grass: [c.id for c in wrong] for grass, wrong in finding.against},
        "shows": {
            grass: {
                id: {
                    "states": list(trait.states),
                    "evidence": [{"kind": e.kind, "source": str(e)} for e in trait.evidence],
                }
                for id, trait in key.grasses[grass].items()
            }
            for grass in finding.remaining
        },
    }


def _character_json(character: Character) -> dict[str, Any]:
    return {
        "character": character.id,
        "question": character.question,
        "how": character.how,
        "states": dict(character.states),
    }
