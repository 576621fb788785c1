"""rules/ingredients.yaml: the waits of the trial as printed, and nothing that leads nowhere."""

from __future__ import annotations

from typing import Any

import pytest

from advisor.base.paths import data_folder
from advisor.base.problems import Problems
from advisor.base.strict_yaml import Document, load_file
from advisor.base.units import parse_quantity
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_evidence import EvidenceEntry, read_evidence

DOCUMENT: Document = load_file(data_folder("rules") / "ingredients.yaml")
INGREDIENTS: dict[str, dict[str, Any]] = DOCUMENT.data["ingredients"]
WAITS = ("wait_broadcast", "wait_slit", "label_wait_shortest", "label_wait_longest")


def weeks(name: str, wait: str) -> float:
    return parse_quantity(INGREDIENTS[name][wait], "d") / 7


@pytest.mark.parametrize(
    ("name", "broadcast", "slit"),
    # Keeley and Zhou 2005, Weed Technology 19(1), abstract.
    [("dithiopyr", 6, 11), ("pendimethalin", 8, 10), ("prodiamine", 14, 16)],
)
def test_waits_of_the_trial(name: str, broadcast: int, slit: int) -> None:
    assert weeks(name, "wait_broadcast") == broadcast
    assert weeks(name, "wait_slit") == slit


@pytest.mark.parametrize("name", INGREDIENTS)
def test_a_label_never_asks_for_less_than_the_trial(name: str) -> None:
    shortest, longest = weeks(name, "label_wait_shortest"), weeks(name, "label_wait_longest")
    assert weeks(name, "wait_broadcast") <= weeks(name, "wait_slit")
    assert weeks(name, "wait_broadcast") <= shortest <= longest


@pytest.mark.parametrize("name", INGREDIENTS)
def test_safe_with_seed_means_no_wait(name: str) -> None:
    entry = INGREDIENTS[name]
    assert entry["seed_safe"] is bool(entry["seed_safe_on"])
    assert entry["seed_safe"] is all(weeks(name, wait) == 0 for wait in WAITS)


def test_names_are_known(book: RuleBook) -> None:
    choices = set(book.vocabulary["weed_preventer"].choices) - {"none", "other"}
    assert set(INGREDIENTS) == choices
    for name, entry in INGREDIENTS.items():
        assert set(entry["seed_safe_on"]) <= set(book.grasses), name


def test_evidence_holds_together(book: RuleBook) -> None:
    problems = Problems()
    entries = [EvidenceEntry(**entry) for entry in DOCUMENT.data["evidence"]]
    evidence = read_evidence(entries, book.sources, DOCUMENT, problems)
    problems.raise_if_any()
    cited = {id for entry in INGREDIENTS.values() for id in entry["evidence"]}
    assert cited == set(evidence)
    assert all(e.at for e in evidence.values() if e.kind == "published")
