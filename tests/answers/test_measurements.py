"""What to measure first, held against the whole program run again with each result recorded."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.base.record import replace
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.render.digest.measure import measure_json, measure_lines, to_find_out
from advisor.render.digest.week import all_answers, compose_week
from advisor.rulebook.read_rulebook import read_rulebook

SEPTEMBER, MAY = dt.date(2026, 9, 5), dt.date(2026, 5, 10)


@pytest.fixture(scope="module")
def book():
    return read_rulebook()


@pytest.fixture
def folder(tmp_path):
    return write_demo(tmp_path / "site")


def verdicts(folder, book, on):
    _, answers, _ = all_answers(open_case(folder, book, on))
    return {(a.title, a.area): a.decision.verdict for a in answers}


def noted(folder, book, on, fact, value):
    """The verdicts with one more observation, on every area, in the journal."""
    journal = folder / "journal.csv"
    before = journal.read_text(encoding="utf-8")
    rows = "".join(f"x{a},{on},observation,{fact},{value},{a},\n" for a in ("front", "back"))
    journal.write_text(before.rstrip("\n") + "\n" + rows, encoding="utf-8")
    try:
        return verdicts(folder, book, on)
    finally:
        journal.write_text(before, encoding="utf-8")


@pytest.mark.sample(1)
@pytest.mark.parametrize(
    ("on", "fact", "results"),
    [
        (SEPTEMBER, "nitrogen_fed", ["0 lb/1000ft2", "1.79 lb/1000ft2", "1.81 lb/1000ft2"]),
        (MAY, "turf_state", ["growing", "slow", "stressed", "dormant"]),
        (MAY, "soil_firmness", ["easy", "firm", "hard"]),
    ],
)
def test_what_is_said_to_settle_settles(folder, book, on, fact, results) -> None:
    _, found = to_find_out(open_case(folder, book, on))
    worth = next(w for w in found if w.wanted.fact == fact)
    before = verdicts(folder, book, on)
    after = [noted(folder, book, on, fact, result) for result in results]
    assert worth.settles or worth.may
    for answer, share in worth.answers:
        key = (answer.title, answer.area)
        still = [run[key] == "measure" for run in after]
        assert before[key] == answer.decision.verdict
        if before[key] != "measure":
            assert share == 0
        elif share == 1:
            assert not any(still), key
        elif share > 0:
            assert any(still), key
            assert not all(still), key
        else:
            assert all(still), key


def test_the_best_settles_most_and_the_week_asks_for_it(folder, book) -> None:
    lawn = open_case(folder, book)
    _, found = to_find_out(replace(lawn, on=SEPTEMBER))

    def expected(worth):
        best: dict[str, float] = {}
        for answer, share in worth.answers:
            if not answer.decision.operation.routine:
                best[answer.title] = max(share, best.get(answer.title, 0))
        return sum(best.values())

    def best_season(worth):
        windows = [answer.decision.outlook.current for answer, _ in worth.answers]
        return any(found is None or found.window.prefer == 1 for found in windows)

    # A second-best season, such as spring for leaves, comes after the best season of other work.
    soon = [(best_season(worth), expected(worth)) for worth in found if worth.soon]
    assert soon == sorted(soon, reverse=True)
    assert soon[0][1] >= 1
    question = compose_week(replace(lawn, on=SEPTEMBER)).question
    assert question.wanted.fact == found[0].wanted.fact


def test_nothing_is_asked_that_is_known_or_lost(folder, book) -> None:
    _, found = to_find_out(open_case(folder, book, SEPTEMBER))
    for worth in found:
        for answer, _ in worth.answers:
            assert answer.decision.values.get(worth.wanted.fact) is None
            assert answer.decision.verdict not in ("missed", "ruled_out")
        assert worth.wanted.how


def test_lines_and_json_tell_the_same(folder, book) -> None:
    lawn = open_case(folder, book)
    question, found = to_find_out(replace(lawn, on=SEPTEMBER))
    lines = list(measure_lines(question, found))
    data = measure_json(question, found, replace(lawn, on=SEPTEMBER))
    heads = [text for bullet, text in lines if bullet.strip().rstrip(".").isdigit()]
    assert len(heads) == len(data["measure"]) == len(found)
    for head, item in zip(heads, data["measure"], strict=True):
        assert head.lower().startswith(item["title"].lower())
        assert ("settles " in head.replace("may settle ", "")) == bool(item["settles"])
        assert set(item) == {
            "fact", "title", "how", "settles", "may_settle", "turns", "areas", "this_month",
            "results",
        }  # fmt: skip


def test_with_nothing_open_it_says_so() -> None:
    assert list(measure_lines(None, ())) == [
        ("", "Nothing is open: no measurement would change this month's advice.")
    ]
