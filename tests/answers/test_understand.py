"""What is understood of a keeper's question: a table of questions, and rules that hold for any."""

from __future__ import annotations

import csv
import datetime as dt
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.answers.understand import understand
from advisor.answers.understood import NotUnderstood, Understood
from advisor.rulebook.read_rulebook import read_rulebook

WEDNESDAY = dt.date(2026, 9, 9)
NORTH, SOUTH = 41.0, -43.5
BOOK = read_rulebook()
WORDS = {id: operation.asked_as for id, operation in BOOK.operations.items()}
GRASSES = {id: (g.title, *g.also) for id, g in BOOK.grasses.items()}
with Path(__file__).with_name("questions.csv").open(encoding="utf-8", newline="") as _file:
    TABLE = list(csv.DictReader(_file))


def read(question: str, on: dt.date = WEDNESDAY, latitude: float = NORTH) -> Understood:
    found = understand(question, WORDS, on, latitude=latitude, grasses=GRASSES)
    assert isinstance(found, Understood), found
    return found


def refusal(question: str) -> NotUnderstood:
    found = understand(question, WORDS, WEDNESDAY, latitude=NORTH, grasses=GRASSES)
    assert isinstance(found, NotUnderstood), found
    return found


@pytest.mark.parametrize("row", TABLE, ids=[row["question"] for row in TABLE])
def test_table_of_questions(row: dict[str, str]) -> None:
    found = understand(row["question"], WORDS, WEDNESDAY, latitude=NORTH, grasses=GRASSES)
    if not row["intent"]:
        assert isinstance(found, NotUnderstood), found
        return
    assert isinstance(found, Understood), found
    assert {
        "operation": found.operation or "",
        "intent": found.intent,
        "date": str(found.date or ""),
        "until": str(found.until or ""),
        "also": " ".join(found.also),
    } == {key: row[key] for key in ("operation", "intent", "date", "until", "also")}


def test_the_table_is_wide_enough() -> None:
    questions = [row["question"].casefold() for row in TABLE]
    assert len(set(questions)) == len(questions) >= 80
    assert sum(not row["intent"] for row in TABLE) >= 12
    assert {row["operation"] for row in TABLE} == {*WORDS, ""}


@pytest.mark.sample(300)
@pytest.mark.parametrize(
    ("operation", "name"), [(id, name) for id, names in WORDS.items() for name in names]
)
@pytest.mark.parametrize("frame", ["Should I {} this week?", "Is it too late for {}?", "{}?"])
def test_every_everyday_name_reaches_its_operation(operation: str, name: str, frame: str) -> None:
    found = read(frame.format(name))
    assert (found.operation, found.also) == (operation, ())


def test_every_sample_is_understood() -> None:
    samples = refusal("Who won the match?").samples
    understood = [read(sample).operation for sample in samples]
    assert understood == [*WORDS, None]


@pytest.mark.parametrize(
    ("question", "operation", "first", "last"),
    [
        ("Can I overseed in April?", "overseeding", (2027, 4, 1), (2027, 4, 30)),
        ("Can I overseed in October?", "spring_seeding", (2026, 10, 1), (2026, 10, 31)),
        ("Should I seed this spring?", "spring_seeding", (2026, 9, 9), (2026, 11, 30)),
        ("Should I seed next autumn?", "overseeding", (2027, 3, 1), (2027, 5, 31)),
        ("Should I sow grass next winter?", "dormant_seeding", (2027, 6, 1), (2027, 8, 31)),
        ("Is it too late to dethatch this summer?", "thatch_removal", (2026, 12, 1), (2027, 2, 28)),
    ],
)
def test_seasons_flip_south_of_the_equator(
    question: str, operation: str, first: tuple[int, int, int], last: tuple[int, int, int]
) -> None:
    found = read(question, latitude=SOUTH)
    assert found.operation == operation
    assert (found.date, found.until) == (dt.date(*first), dt.date(*last))


def test_grasses_named_are_told() -> None:
    assert read("Should I dethatch Kentucky bluegrass?").grasses == ("kentucky_bluegrass",)
    assert read("Should I dethatch?").grasses == ()


def test_watering_of_what_decides_the_operation() -> None:
    assert read("How often should I water after seeding?").operation == "seedling_watering"
    assert read("Should I water the brown lawn?").operation == "drought_dormancy"
    # Before a sowing, or as the other choice, it is the lawn that is watered.
    assert read("Should I water before overseeding?").operation == "watering"
    assert read("Should I water or overseed?").also == ("overseeding",)


def test_a_slip_of_the_pen_is_told() -> None:
    assert read("when to dethach").read_as == (("dethach", "dethatch"),)


@pytest.mark.parametrize(
    ("question", "says"),
    [
        ("Should I dethatch on 12/9?", "two ways"),
        ("Can I overseed on Labor Day?", "write the date"),
        ("Should I dethatch on 31 September?", "no date of the calendar"),
        ("Should I wash my car?", "no operation found"),
        ("Should I roll the lawn after overseeding?", "rolling"),
        ("Can I park on new grass seed?", "'park'"),
        ("should i areate", "did you mean 'aerate'"),
        ("What does sod cost?", "prices"),
        ("", "no words"),
    ],
)
def test_a_refusal_says_why_and_what_can_be_asked(question: str, says: str) -> None:
    found = refusal(question)
    assert says in found.why
    assert len(found.samples) == len(WORDS) + 1
    assert all(sample in found.says for sample in found.samples)


def test_a_name_of_two_operations_is_refused() -> None:
    words = {"thatch_removal": ["rake"], "leaf_litter": ["rake"]}
    found = understand("Should I rake?", words, WEDNESDAY, latitude=NORTH)
    assert isinstance(found, NotUnderstood)
    assert "leaf litter and thatch removal" in found.why


def test_a_job_that_the_rule_book_gains_is_no_longer_foreign() -> None:
    words = {**WORDS, "mowing": ("mow",)}
    found = understand("Should I mow before I dethatch?", words, WEDNESDAY, latitude=NORTH)
    assert isinstance(found, Understood)
    assert (found.operation, found.also) == ("mowing", ("thatch_removal",))


_PIECES = st.sampled_from(
    [w for row in TABLE for w in row["question"].split()] + ["12/9", "31", "-", "½", "\x00", "’"]
)


@given(st.one_of(st.text(max_size=80), st.lists(_PIECES, max_size=14).map(" ".join)))
def test_any_text_gets_an_answer_or_a_reason(text: str) -> None:
    found = understand(text, WORDS, WEDNESDAY, latitude=NORTH, grasses=GRASSES)
    if isinstance(found, NotUnderstood):
        assert found.why
        return
    assert (found.operation in WORDS) != (found.intent == "week")
    assert found.operation not in found.also
    assert found.until is None or (found.date is not None and found.date <= found.until)


@given(st.sampled_from(TABLE))
def test_case_and_marks_change_nothing(row: dict[str, str]) -> None:
    question = row["question"]
    shouted = understand(question.upper(), WORDS, WEDNESDAY, latitude=NORTH, grasses=GRASSES)
    curly = question.replace("'", "’")
    said = understand(curly, WORDS, WEDNESDAY, latitude=NORTH, grasses=GRASSES)
    plain = understand(question, WORDS, WEDNESDAY, latitude=NORTH, grasses=GRASSES)
    for other in (shouted, said):
        assert type(other) is type(plain)
        if isinstance(plain, Understood) and isinstance(other, Understood):
            assert (other.operation, other.intent, other.date, other.also) == (
                plain.operation,
                plain.intent,
                plain.date,
                plain.also,
            )
