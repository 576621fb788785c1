"""Every number that decides or advises carries evidence, and no evidence stands unused."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

import pytest

from advisor.base.paths import data_folder
from advisor.rulebook.conditions import NUMERIC, leaves
from advisor.rulebook.grass import GrassLimit
from advisor.rulebook.model import Evidence, Grass, Operation, RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

BOOK = read_rulebook(cache=False)
OPERATIONS = list(BOOK.operations.values())
GRASSES = list(BOOK.grasses.values())
DIGIT = re.compile(r"[0-9½¼¾⅔⅓]|\b(two|three|four|six|eight|ten|half|third|fifth)\b")


def by_id(item: object) -> str:
    return str(getattr(item, "id", item))


def cited_by(operation: Operation) -> Iterator[str]:
    for tree in operation.trees().values():
        for leaf in leaves(tree):
            yield from leaf.evidence
    for part in (*operation.conflicts, *operation.advice, *operation.windows, *operation.leads):
        yield from part.evidence
    if operation.effort is not None:
        yield from operation.effort.evidence
    if operation.breaks_soil is not None:
        yield from operation.breaks_soil.evidence
    for ids in operation.cites.values():
        yield from ids


@pytest.mark.parametrize("operation", OPERATIONS, ids=by_id)
def test_each_number_of_a_condition_has_evidence(operation: Operation) -> None:
    numbers = [
        leaf
        for tree in operation.trees().values()
        for leaf in leaves(tree)
        if leaf.comparison in NUMERIC
    ]
    assert len(numbers) >= 5
    for leaf in numbers:
        if isinstance(leaf.limit, GrassLimit):
            stated = [g.limits[leaf.limit] for g in GRASSES if leaf.limit in g.limits]
            assert stated, leaf.path
            assert all(limit.evidence for limit in stated), leaf.path
        else:
            assert leaf.evidence, leaf.path


@pytest.mark.parametrize("operation", OPERATIONS, ids=by_id)
def test_windows_efforts_and_texts_with_numbers_are_cited(operation: Operation) -> None:
    assert all(window.evidence for window in operation.windows)
    assert operation.effort is not None
    assert operation.effort.evidence
    for part in (*operation.advice, *operation.conflicts):
        assert part.evidence or not DIGIT.search(part.says), part.id
    texts = {
        "steps": " ".join(operation.steps),
        "delay": operation.delay,
        "do_nothing": operation.do_nothing,
        "measure_lead": str(operation.measure_lead),
    }
    for name, text in texts.items():
        if re.search(r"[0-9½¼¾]", text):
            assert operation.cites.get(name), name


@pytest.mark.parametrize("operation", OPERATIONS, ids=by_id)
def test_no_evidence_stands_unused_in_an_operation(operation: Operation) -> None:
    assert set(cited_by(operation)) == set(operation.evidence)


@pytest.mark.parametrize("grass", GRASSES, ids=by_id)
def test_no_evidence_stands_unused_in_a_grass(grass: Grass) -> None:
    text = (data_folder("rules") / "grasses" / f"{grass.id}.yaml").read_text(encoding="utf-8")
    cited = {id for limit in grass.limits.values() for id in limit.evidence}
    # The traits are not limits: a comment beside them names their evidence.
    in_comment = {id for id in grass.evidence if f"({id.partition('.')[2]})" in text}
    assert cited | in_comment == set(grass.evidence)
    assert all(limit.evidence for limit in grass.limits.values())


@pytest.mark.parametrize("holder", [*OPERATIONS, *GRASSES], ids=by_id)
def test_published_evidence_names_its_place_and_day(holder: Operation | Grass) -> None:
    for evidence in holder.evidence.values():
        if evidence.kind == "published":
            assert evidence.source is not None
            assert evidence.at, evidence.id
            assert evidence.checked is not None, evidence.id
        else:
            assert evidence.says, evidence.id


@pytest.mark.parametrize("grass", GRASSES, ids=by_id)
def test_where_sources_differ_the_range_is_shown(grass: Grass) -> None:
    """Several sources behind one limit: the reader sees how far they are apart."""
    for name, limit in grass.limits.items():
        if len(limit.evidence) > 1 and not name.startswith("seed_rate_over"):
            assert limit.range, name


def test_most_deciding_limits_rest_on_something_published(book: RuleBook) -> None:
    """Counted over limits that decide a verdict, not over everything that is cited."""
    best: Counter[str] = Counter()
    order = ("published", "derived", "common_practice", "from_memory")
    for operation in book.operations.values():
        concrete = operation.for_grass(book.grasses["kentucky_bluegrass"])
        for name, tree in concrete.trees().items():
            if name.startswith("advice."):
                continue
            for leaf in leaves(tree):
                if leaf.comparison in NUMERIC:
                    kinds = {kind(concrete.evidence, id) for id in leaf.evidence}
                    best[next(k for k in order if k in kinds)] += 1
    assert set(best) <= set(order)
    assert best["published"] > sum(best.values()) / 2, best


def kind(evidence: dict[str, Evidence], id: str) -> str:
    return evidence[id].kind
