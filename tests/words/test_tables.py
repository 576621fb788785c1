"""No table of the program lacks a word of the vocabulary that it is keyed by."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from types import ModuleType
from typing import Any, Literal, get_args, get_origin

import pytest

import advisor
from advisor.base.vocabularies import (
    Climate,
    IncompleteTable,
    SeasonType,
    Slope,
    Sun,
    Texture,
    ToolKind,
    complete,
)
from advisor.cases.open_folder import open_case
from advisor.planning.lawn_tasks import crew_of
from advisor.rulebook.model import RuleBook
from advisor.signals.soil_temperature import SHALLOWEST_CM, soil_coefficients
from advisor.signals.water_balance import AVAILABLE_WATER_MM_PER_M

PARTIAL = {
    "question_intent._PATTERNS": "what no pattern finds is one of the other intents",
    "seeding_words._OF_SEASON": "sowing in the other seasons is the plain word's",
    "conditions._READ": "what was read itself needs no word",
    "edition._BEARING": "a measurement has no bearing",
    "encode._OPERATOR": "equality needs no operator",
    "water_zones.NO_WATER": "the verdicts under which water is given",
    "read_laws._NEEDS": "the other subjects need no number",
}
KNOWN_APART = {"known"}
"""Comparisons of no value: each table of comparisons leaves it to code of its own."""
NOT_OF_IT = ("facts_read.GATES", "overview.GATES", "overview._LETTERS", "judge.INPUTS",
             "judge._FREE", "cycle_soak.INTAKE_RANGES", "headers._COLUMN_OF",
             "main.COMMANDS")  # fmt: skip
"""Tables that share two words with a vocabulary and are keyed by something else."""


def modules() -> Iterator[ModuleType]:
    for found in walk_packages(advisor.__path__, "advisor."):
        if not found.name.endswith("__main__"):
            yield import_module(found.name)


def holes() -> Iterator[tuple[str, set[str]]]:
    """Each module's tables that share two words with a vocabulary, and what they lack of it."""
    loaded = list(modules())
    spoken = {
        frozenset(get_args(thing))
        for module in loaded
        for thing in vars(module).values()
        if get_origin(thing) is Literal and len(get_args(thing)) > 1
    }
    for module in loaded:
        for name, table in vars(module).items():
            if not isinstance(table, Mapping) or name.startswith("__"):
                continue
            here = f"{module.__name__.rpartition('.')[2]}.{name}"
            near = [words for words in spoken if len(words & set(table)) > 1]
            if near and here not in NOT_OF_IT:
                # Of several vocabularies it is keyed by the one whose words it has most of.
                own = min(
                    near, key=lambda w: (-len(w & set(table)), len(w - set(table)), sorted(w))
                )
                yield here, set(own) - set(table)


def test_every_table_has_every_word() -> None:
    found = dict(holes())
    assert {"cycle_soak.CLASS_OF", "cycle_soak.PUDDLE_MM", "answer._RESULT"} <= set(found)
    lacking = {here: words - KNOWN_APART for here, words in found.items() if words - KNOWN_APART}
    assert set(lacking) == set(PARTIAL), lacking


@pytest.mark.parametrize("vocabulary", [Texture, Sun, Slope, Climate, SeasonType, ToolKind])
def test_a_table_with_a_hole_does_not_load(vocabulary: Any) -> None:
    words = get_args(vocabulary)
    assert complete(dict.fromkeys(words, 1), vocabulary) == dict.fromkeys(words, 1)
    for word in words:
        with pytest.raises(IncompleteTable, match=f"lacks {word}"):
            complete(dict.fromkeys(set(words) - {word}, 1), vocabulary)
    with pytest.raises(IncompleteTable, match="has banana, which nothing says"):
        complete(dict.fromkeys((*words, "banana"), 1), vocabulary)


def test_the_rule_book_has_the_words_of_a_site(book: RuleBook) -> None:
    facts = book.vocabulary.definitions
    assert facts["sun"].choices == get_args(Sun)
    assert facts["season_type"].choices == get_args(SeasonType)
    assert set(book.work.machines) == set(get_args(ToolKind))
    for grass in book.grasses.values():
        for trait, value in grass.traits.items():
            assert value in facts[trait].choices, (grass.id, trait)


def test_a_machine_by_another_name_is_hired_at_its_price(book: RuleBook, tmp_path: Path) -> None:
    (tmp_path / "site.yaml").write_text(
        "format: 1\nname: Tools\nplace: {latitude: 41.2, longitude: -81.9}\n"
        "stand: [{grass: tall_fescue}]\nareas: [{name: lawn, size: 300 m2}]\n"
        "tools: [{kind: power rake, have: rented, price: 65, block: 4 h}]\n"
    )
    (tmp_path / "journal.csv").write_text("id,date,kind,what,value,area,note\n")
    crew = crew_of(open_case(tmp_path, book))
    assert crew.blocks == {"vertical_mower": (240, 65)}


def test_ground_freezes_in_each_climate() -> None:
    for climate, cm in SHALLOWEST_CM.items():
        assert cm in (5, 10)
        assert soil_coefficients(cm, climate).slope > 0


def test_water_of_sand_and_silt() -> None:
    """University of California Agriculture and Natural Resources: silt 1.5 to 2.0 in/ft, sand 0.5
    to 1.0; its drought table has 0.75 to 1.25 for coarse and fine sand."""
    per = 1000 / 12
    assert AVAILABLE_WATER_MM_PER_M["silt"] == pytest.approx((1.5 * per, 2.0 * per))
    assert AVAILABLE_WATER_MM_PER_M["sand"] == pytest.approx((0.5 * per, 1.25 * per))
    middle = {name: sum(both) / 2 for name, both in AVAILABLE_WATER_MM_PER_M.items()}
    assert middle["sand"] < middle["loamy_sand"] < middle["sandy_loam"] < middle["silt"]
    # FAO-56 Table 19, from memory: sand 50-110 mm/m, silt 160-200. Each range meets ours.
    for name, low, high in (("sand", 50, 110), ("silt", 160, 200)):
        ours = AVAILABLE_WATER_MM_PER_M[name]
        assert ours[0] <= high
        assert low <= ours[1]
