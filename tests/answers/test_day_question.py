"""What somebody at work asks, and what is no such question."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from advisor.answers.day_question import DayQuestion, day_question

STOP = (
    "can i stop here?", "Can I stop now", "may I leave it until tomorrow?", "is it ok to stop?",
    "I'm tired. Can I stop?", "where can I stop", "could we call it a day?", "I need to stop now",
    "Is it safe to stop here for today?", "can i just stop here, I am exhausted",
)  # fmt: skip
BEHIND = (
    ("I'm two hours behind", 120), ("I am 2 hours late, what now?", 120), ("running late", None),
    ("we are 45 min behind schedule", 45), ("half an hour behind", 30), ("I am an hour late", 60),
    ("1.5 h behind the plan", 90), ("I am behind. What do I do now?", None),
    ("I’m running about two hours behind", 120), ("one and a half hours late", 90),
    ("an hour and a half behind", 90),
)  # fmt: skip
OTHER = (
    "can I stop watering here?", "when can I stop mowing", "is it too late", "too late to seed?",
    "is it late to overseed", "can I leave the clippings?", "should I stop feeding now",
    "how late can I seed", "what should I do this week?", "can I stop weeds here",
    "is the lawn behind the house too wet", "late blight", "I seeded two hours late",
    "can I leave it until spring to core", "is it safe to mow", "",
)  # fmt: skip


@pytest.mark.parametrize("asked", STOP)
def test_whether_one_may_stop(asked: str) -> None:
    assert day_question(asked) == DayQuestion("stop")


@pytest.mark.parametrize(("asked", "minutes"), BEHIND)
def test_how_far_behind(asked: str, minutes: int | None) -> None:
    assert day_question(asked) == DayQuestion("behind", minutes)


def test_the_hour_is_read() -> None:
    assert day_question("can I stop at noon?") == DayQuestion("stop", at=720)
    assert day_question("Can I stop here? ") == DayQuestion("stop")
    assert day_question("can I stop now, it is 11:30") == DayQuestion("stop", at=690)
    assert day_question("I am 2 hours behind, it is 12:05") == DayQuestion("behind", 120, 725)


@pytest.mark.parametrize("asked", OTHER)
def test_a_question_about_a_job_is_none(asked: str) -> None:
    assert day_question(asked) is None


def test_none_of_the_questions_that_are_known_is_taken() -> None:
    file = Path(__file__).parent / "questions.csv"
    rows = list(csv.reader(file.read_text(encoding="utf-8").splitlines()))
    assert len(rows) > 100
    assert not [cell for row in rows for cell in row if day_question(cell)]
