"""The identification key (rules/identify.yaml), checked to part every two grasses."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import combinations
from typing import Annotated, Literal

from pydantic import Field

from advisor.base.checked_model import FileModel, check_document
from advisor.base.problems import Problems, did_you_mean
from advisor.base.strict_yaml import Document
from advisor.rulebook.conditions import Evidence
from advisor.rulebook.key import Character, Key, Trait
from advisor.rulebook.model import Grass, Source
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence


class _CharacterEntry(FileModel):
    title: str
    question: str
    how: str
    states: dict[str, str]
    seldom: bool = False


class _TraitEntry(FileModel):
    is_: Annotated[list[str], Field(alias="is", min_length=1)]
    evidence: Annotated[list[str], Field(min_length=1)]


class _KeyFile(FileModel):
    format: Literal[1]
    characters: dict[str, _CharacterEntry]
    grasses: dict[str, dict[str, _TraitEntry]]
    evidence: list[EvidenceEntry]


def read_key(
    document: Document, sources: Mapping[str, Source], grasses: Mapping[str, Grass]
) -> Key:
    """The key. Raises `BadInput` with every problem found."""
    file = check_document(_KeyFile, document)
    problems = Problems()
    evidence = read_evidence(file.evidence, sources, document, problems)
    characters = {
        id: Character(id, c.title, c.question, c.how, c.states, c.seldom)
        for id, c in file.characters.items()
    }
    found: dict[str, Mapping[str, Trait]] = {}
    for grass, entries in file.grasses.items():
        if grass not in grasses:
            near = did_you_mean(grass, grasses)
            problems.add(document.place(("grasses", grass)), f"grass '{grass}' has no file{near}")
        found[grass] = _traits(grass, entries, characters, evidence, document, problems)
    for grass in grasses:
        if grass not in found:
            place = document.place(("grasses",))
            problems.add(place, f"grass '{grass}' is not in the key; describe it")
    key = Key(characters, found)
    problems.raise_if_any()
    for one, other in combinations(found, 2):
        if not any(key.parts(character, one, other) for character in characters):
            place = document.place(("grasses", other))
            problems.add(place, f"no character tells '{one}' and '{other}' apart; add one")
    problems.raise_if_any()
    return key


def _traits(
    grass: str,
    entries: Mapping[str, _TraitEntry],
    characters: Mapping[str, Character],
    evidence: Mapping[str, Evidence],
    document: Document,
    problems: Problems,
) -> dict[str, Trait]:
    traits = {}
    for name, entry in entries.items():
        loc = ("grasses", grass, name)
        if name not in characters:
            what = f"no character '{name}'{did_you_mean(name, characters)}"
            problems.add(document.place(loc, key=True), what)
            continue
        states = characters[name].states
        for i, state in enumerate(entry.is_):
            if state not in states:
                what = f"'{name}' has no state '{state}'{did_you_mean(state, states)}"
                problems.add(document.place((*loc, "is", i)), what)
        for i, id in enumerate(entry.evidence):
            if id not in evidence:
                what = f"evidence '{id}' is not declared below{did_you_mean(id, evidence)}"
                problems.add(document.place((*loc, "evidence", i)), what)
        cited = tuple(evidence[id] for id in entry.evidence if id in evidence)
        traits[name] = Trait(tuple(entry.is_), cited)
    return traits
