"""Files that are far too large, or wrong throughout, are refused soon and in few words.

The limits stand where no real file comes: a century of records, of days, of hours.
"""

from __future__ import annotations

import datetime as dt
import pickle
import tracemalloc
from pathlib import Path

import pytest

from advisor.base.paths import data_folder
from advisor.base.problems import MOST_FOUND, MOST_TOLD, BadInput, Place, Problem, Problems
from advisor.base.strict_yaml import LARGEST_BYTES
from advisor.records.entry import HEADER
from advisor.records.journal import MOST_LINES, read_journal
from advisor.records.read_site import read_site
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather

TODAY = dt.date(2026, 9, 5)


def refusal(read, *given: object) -> list[str]:
    """What is told, while less memory is taken than an unbounded reading would."""
    tracemalloc.start()
    try:
        with pytest.raises(BadInput) as caught:
            read(*given)
        most = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert most < 150e6
    return [str(problem) for problem in caught.value.problems]


def site(folder: Path, text: str) -> Path:
    (folder / "site.yaml").write_text(text)
    return folder


@pytest.mark.parametrize(
    "text",
    ["# a comment\n" * 3_400_000, "".join(f"key_{n}: 1\n" for n in range(150_000))],
    ids=["40 MB of comments", "2 MB of unknown keys"],
)
def test_a_site_file_that_is_none(tmp_path: Path, text: str) -> None:
    told = refusal(read_site, site(tmp_path, text), None, TODAY)
    size = f"{len(text) / 1e6:,.1f}"
    assert told == [
        f"{tmp_path}/site.yaml: {size} MB are too much for a file like this (at most 1 MB); "
        "is this the file?"
    ]


def test_unknown_keys_just_below_the_limit(tmp_path: Path) -> None:
    text = "".join(f"key_{n}: 1\n" for n in range(72_000))
    assert len(text) < LARGEST_BYTES
    with pytest.raises(BadInput) as caught:
        read_site(site(tmp_path, text), None, TODAY)
    assert len(caught.value.problems) == MOST_TOLD + 1
    assert len(str(caught.value)) < 100_000


@pytest.mark.parametrize("name", ["facts.yaml", "operations/lime.yaml"])
def test_a_rule_file_that_is_none(tmp_path: Path, name: str) -> None:
    (tmp_path / "operations").mkdir()
    (tmp_path / name).write_text("# a comment\n" * 100_000)
    told = refusal(read_rulebook, tmp_path)
    assert any(f"{name}: 1.2 MB are too much for a file like this" in line for line in told)
    assert len(told) < 20


def test_every_rule_file_of_ours_is_far_smaller() -> None:
    sizes = [path.stat().st_size for path in data_folder("rules").rglob("*.yaml")]
    assert max(sizes) < LARGEST_BYTES / 3


def journal(folder: Path, lines: list[str]) -> tuple[object, ...]:
    path = folder / "journal.csv"
    path.write_text("\n".join([HEADER, *lines]) + "\n")
    book = read_rulebook()
    return path, book.vocabulary, frozenset(book.operations), TODAY


@pytest.mark.slow
@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("r{n},2026-09-02,undo,q{n},,,", "column 4 (what): no earlier record has the id 'q1'"),
        ("r{n},2026-09-02,observation,thatch_dept,1 in,,", "unknown fact 'thatch_dept'"),
        ("r{n},2026-09-02,work,mowng,,,", "unknown operation 'mowng'"),
        ("{n}", "1 cells; wanted 7"),
        ('r{n},"', 'a quote (") is not closed on this line'),
    ],
    ids=["undos", "facts", "operations", "cells", "quotes"],
)
def test_a_journal_that_is_wrong_throughout(tmp_path: Path, row: str, said: str) -> None:
    given = journal(tmp_path, [row.format(n=n) for n in range(1, 20_001)])
    told = refusal(read_journal, *given)
    assert len(told) == MOST_TOLD + 1
    assert said in told[0]
    assert told[-1].endswith("100 or more problems from here on; mend the ones above first")


def test_a_journal_of_line_ends(tmp_path: Path) -> None:
    given = journal(tmp_path, [""] * 19_000_000)
    told = refusal(read_journal, *given)
    assert told == [
        f"{tmp_path}/journal.csv: 19,000,001 lines are too many for a journal (at most 200,000, "
        "five a day for a century); is this the file?"
    ]


def test_five_records_a_day_for_a_century_have_room() -> None:
    assert MOST_LINES > 5 * 365.25 * 100


def test_a_century_of_days_is_read(tmp_path: Path) -> None:
    first = dt.date(1926, 9, 5)
    days = [(first + dt.timedelta(n)).isoformat() for n in range((TODAY - first).days)]
    path = tmp_path / "weather.csv"
    rows = [f"{day},85,61,0.2" for day in days]
    path.write_text("\n".join(["date,max temp (F),min temp (F),rain (in)", *rows]) + "\n")
    assert len(read_weather(path, today=TODAY).days) == len(days) > 36_500


def test_problems_end_the_search_when_there_are_very_many() -> None:
    found = Problems()
    for number in range(MOST_FOUND - 1):
        found.add(Place("f", number + 1), "wrong")
    with pytest.raises(BadInput) as caught:
        found.add(Place("f", MOST_FOUND), "wrong")
    assert len(caught.value.found) == MOST_FOUND
    assert str(caught.value.problems[-1]) == (
        "f:101: 100 or more problems from here on; mend the ones above first"
    )
    again = pickle.loads(pickle.dumps(caught.value))
    assert again.problems == caught.value.problems


@pytest.mark.parametrize("number", [1, MOST_TOLD, MOST_TOLD + 1, MOST_FOUND - 1])
def test_a_number_of_problems_is_told_exactly(number: int) -> None:
    one = BadInput(Problem(Place("f", n), "wrong") for n in range(1, number + 1))
    both = Problems()
    both.take(one)
    with pytest.raises(BadInput) as caught:
        both.raise_if_any()
    hidden = number - MOST_TOLD
    assert caught.value.problems[:MOST_TOLD] == one.found[:MOST_TOLD]
    assert caught.value.problems == one.problems
    assert len(one.problems) == min(number, MOST_TOLD + 1)
    if hidden > 0:
        said = f"f:{MOST_TOLD + 1}: {hidden} more problems from here on; mend the ones above first"
        assert str(one.problems[-1]) == said
