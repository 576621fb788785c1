"""What the gates file and the steps refuse: each slip by line and column, with how to mend it."""

from __future__ import annotations

import pytest

from advisor.base.paths import data_folder
from advisor.base.problems import BadInput, Problems
from advisor.base.strict_yaml import load_text
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_gates import check_guarded, read_gates
from advisor.rulebook.work_steps import work_of

GATES = """\
format: 1
gates:
  lines:
    title: lines marked
    missing: lines are not marked
    ask: ask for it
    protects: {breaks_soil: [machine]}
    before: 3 d
    met_by: {lines_marked: true}
    note: lines marked
    evidence: [memory]
evidence:
  - {id: memory, kind: from_memory, says: ours}
"""


def refused(text: str, book: RuleBook) -> str:
    with pytest.raises(BadInput) as found:
        read_gates(load_text(text, "gates.yaml"), book.vocabulary, book.sources)
    return "\n".join(str(problem) for problem in found.value.problems)


def test_a_sound_file_is_read(book: RuleBook) -> None:
    (gate,) = read_gates(load_text(GATES, "gates.yaml"), book.vocabulary, book.sources).values()
    assert (gate.before, gate.protects, gate.met_by) == (3, {"machine"}, {"lines_marked": True})


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("lines_marked: true", "line_marked: true", "did you mean 'lines_marked'?"),
        # A marking counts for a limited time: a record that never runs out may open nothing.
        ("lines_marked: true", "thatch_confirmed: true", "meets a gate for ever"),
        ("lines_marked: true", "thatch_depth: true", "no yes-or-no record"),
        ("lines_marked: true", "irrigated: true", "no yes-or-no record"),
        ("before: 3 d", "before: 3 in", "gates.yaml:8:13: '3 in' is a depth"),
        ("[memory]", "[memry]", "did you mean 'memory'?"),
        ("[machine]", "[shovel]", "shovel"),
        ("[machine]", "[]", "gates.yaml:7"),
    ],
)
def test_what_is_refused(old: str, new: str, says: str, book: RuleBook) -> None:
    assert old in GATES
    assert says in refused(GATES.replace(old, new, 1), book)


def test_work_that_breaks_the_soil_without_a_gate_is_refused(book: RuleBook) -> None:
    problems = Problems()
    check_guarded(book.operations, book.gates, problems)
    problems.raise_if_any()
    by_hand = {id: gate for id, gate in book.gates.items() if "machine" not in gate.protects}
    check_guarded(book.operations, by_hand, problems)
    with pytest.raises(BadInput, match=r"core_aeration\.yaml:1: .* by machine, and no gate"):
        problems.raise_if_any()


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (" breaks_soil: true,", "", "'core_aeration' breaks the soil, but no step says"),
        (
            "title: rake the seed in,",
            "title: rake the seed in, breaks_soil: true,",
            "the rule file of 'overseeding' does not say 'breaks_soil'",
        ),
    ],
)
def test_steps_and_rule_files_agree_on_what_breaks_the_soil(
    old: str, new: str, says: str, book: RuleBook
) -> None:
    text = (data_folder("rules") / "work.yaml").read_text(encoding="utf-8")
    assert old in text
    with pytest.raises(BadInput, match=says):
        work_of(load_text(text.replace(old, new, 1), "work.yaml"), book.sources, book.operations)
