"""The full trace of an answer, and the one line where sources would judge this lawn differently."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.answers.consult import consult
from advisor.answers.reasons import is_disputed
from advisor.answers.why import why_lines
from advisor.answers.words import Words
from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.rulebook.conditions import Leaf, leaves, numbers_in
from advisor.rulebook.read_rulebook import read_rulebook

ON = dt.date(2026, 9, 5)


@pytest.fixture(scope="module")
def lawn(tmp_path_factory):
    return open_case(write_demo(tmp_path_factory.mktemp("demo") / "site"), read_rulebook())


@pytest.mark.parametrize(
    ("text", "unit", "wanted"),
    [
        ("½ in in Kansas; ½ and ¾ in in Nebraska; 2 in in Utah", "mm", (12.7, 19.05, 50.8)),
        ("over 1 in Indiana speaks of lifting it", "mm", (25.4,)),
        ("1 in in Kansas; 1–1½, 1½ and 2½–3 in in Nebraska", "mm", (25.4, 38.1, 63.5, 76.2)),
        ("50–65 °F is given as best", "°C", (10.0, 18.333333333)),
        ("at steady 8–24 °C: 9 days at 15 °C", "°C", (8.0, 15.0, 24.0)),
        ("600 °C·d, not a temperature", "°C", ()),
        ("six to eight weeks of growing weather", "d", (42.0, 56.0)),
        ("two doses of 0.9 lb per 1,000 ft² in Maryland", "g/m2", (4.394184873,)),
        ("Kansas: September; Nebraska: by mid-September", "d", ()),
        ("7 in 10 lawns", "d", ()),
    ],
)
def test_numbers_of_a_range(text, unit, wanted) -> None:
    assert numbers_in(text, unit) == pytest.approx(wanted)


def test_a_value_between_the_sources_is_disputed_and_one_beyond_them_is_not(lawn) -> None:
    thatch = lawn.book.vocabulary["thatch_depth"]
    leaf = Leaf("thatch_depth", "over", 19.05, range="½ in in Kansas; ¾ in in Nebraska")
    assert is_disputed(leaf, 15.0, thatch)
    assert not is_disputed(leaf, 22.0, thatch)
    assert not is_disputed(leaf, 10.0, thatch)
    assert not is_disputed(leaf, None, thatch)
    assert not is_disputed(replace(leaf, range=""), 15.0, thatch)


def test_the_answer_says_in_one_line_where_sources_differ(lawn) -> None:
    """The demo's front has 0.9 in: Utah removes thatch at 2 in, Nebraska and Kansas before."""
    found = consult(replace(lawn, on=ON), "should I dethatch", area="front").answers[0]
    (line,) = found.disputes
    assert line.startswith("sources differ on thatch: ")
    assert "Utah" in line
    assert line.endswith("The rule uses 0.75 in")


@pytest.mark.parametrize("question", ["dethatch", "overseed", "aerate", "feed", "mow"])
def test_the_trace_holds_every_condition_and_all_its_evidence(lawn, question) -> None:
    answer = consult(replace(lawn, on=ON), f"should I {question}").answers[0]
    decision, vocabulary, words = answer.decision, lawn.book.vocabulary, Words("us")
    lines = why_lines(decision, vocabulary, words)
    operation = decision.operation
    for name, tree in operation.trees().items():
        if name.startswith("advice."):
            continue
        for leaf in leaves(tree):
            said = words.condition(leaf, vocabulary[leaf.fact])
            at = [i for i, (_, text) in enumerate(lines) if text.startswith(f"{said}: ")]
            assert at, (name, leaf.path)
            below = []
            for i in at:
                for depth, text in lines[i + 1 :]:
                    if depth <= lines[i][0]:
                        break
                    below.append(text)
            for id in leaf.evidence:
                evidence = operation.evidence[id]
                wanted = str(evidence) if evidence.source is not None else evidence.says
                assert any(wanted.rstrip(".") in text for text in below), (leaf.path, id)
            assert not leaf.range or any("Sources differ: " in text for text in below)


def test_the_trace_names_value_basis_and_day(lawn) -> None:
    answer = consult(replace(lawn, on=ON), "should I dethatch", area="front").answers[0]
    lines = why_lines(answer.decision, lawn.book.vocabulary, Words("us"))
    text = "\n".join(line for _, line in lines)
    assert "Need: yes" in text
    assert "Thatch, over 0.75 in: yes, decides. It is 0.9 in, measured 16 Aug 2026." in text
    assert "Here they would decide differently." in text
    assert "The rule uses 0.75 in, on: published, University of Nebraska-Lincoln" in text
    assert "not known. It is not known (only one day's reading)." in text


def test_the_trace_agrees_with_the_engine(lawn) -> None:
    answer = consult(replace(lawn, on=ON), "should I dethatch", area="front").answers[0]
    truths = answer.decision.judgement.truths
    lines = dict(
        text.rsplit(": ", 1)
        for depth, text in why_lines(answer.decision, lawn.book.vocabulary, Words("us"))
        if depth == 0
    )
    said = {True: "yes", False: "no", None: "not known"}
    assert lines["Need"] == said[truths["need"]]
    assert lines["Ready"] == said[truths["ready"]]
