"""The counts of the rule book's coverage, against counts by hand and against the files."""

from __future__ import annotations

from pathlib import Path

from advisor.base.paths import data_folder
from advisor.base.strict_yaml import load_file
from advisor.rulebook.coverage import KINDS, coverage, deciding_limits
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

SMALL = Path(__file__).parents[1] / "bad_input" / "rules" / "good"


def test_counts_by_hand_on_the_small_rule_book() -> None:
    # Its one operation: soil under 72 F (published), room under 300 C.d and 60 days (memory), and
    # the share of moss that its two grasses state (published).
    found = coverage(read_rulebook(SMALL))
    assert (found.operations, found.grasses, found.examples) == (1, 2, 6)
    assert found.evidence == {
        "published": 3, "derived": 0, "common_practice": 0, "from_memory": 2
    }  # fmt: skip
    assert found.limits == 5
    assert found.by_operation["moss_raking"].evidence["published"] == 1
    assert (found.facts, found.sources, found.cautions) == (7, 1, 1)


def test_counts_agree_with_the_files(book: RuleBook) -> None:
    files = sorted((data_folder("rules") / "operations").glob("*.yaml"))
    found = coverage(book)
    examples = {path.stem: len(load_file(path).data["examples"]) for path in files}
    assert found.operations == len(files)
    assert found.examples == sum(examples.values())
    assert {id: part.examples for id, part in found.by_operation.items()} == examples


def test_every_deciding_limit_is_counted_once(book: RuleBook) -> None:
    found = coverage(book)
    own = sum(sum(part.evidence.values()) for part in found.by_operation.values())
    leaves = [leaf for o in book.operations.values() for leaf in deciding_limits(o)]
    stated = {
        (grass, str(leaf.limit))
        for operation in book.operations.values()
        for grass in operation.grasses
        for leaf in deciding_limits(operation, grass)
        if isinstance(leaf.limit, str)
    }
    waits = sum(len(o.waits) for o in book.operations.values())
    assert own == sum(not isinstance(x.limit, str) for x in leaves) + waits
    assert found.limits == own + len(stated)
    assert set(found.evidence) == set(KINDS)


def test_advice_decides_nothing(book: RuleBook) -> None:
    operation = book.operations["leaf_litter"]
    paths = {leaf.path for leaf in deciding_limits(operation)}
    assert paths
    assert not any(path.startswith("advice") for path in paths)


def test_json_shape(book: RuleBook) -> None:
    told = coverage(book).as_json()
    assert {"operations", "grasses", "examples", "evidence"} <= told.keys()
    assert sum(told["evidence"].values()) == told["limits"]
