"""Questions about a whole programme, on the demo's lawn (invented) and in keepers' words."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from demo_autumn import PREPARED, lawn_of
from jsonschema import Draft202012Validator

from advisor.advice.book import Advice
from advisor.answers.programme_asked import programmes_asked
from advisor.base.problems import BadInput
from advisor.planning.programme_report import open_jobs, report_of
from advisor.planning.weekends import compose_weekends
from advisor.render.sheets.programme_pages import programme_json, programme_text
from advisor.rulebook.read_rulebook import read_rulebook

ON = dt.date(2026, 9, 1)
SCHEMA = Draft202012Validator(
    json.loads((Path(__file__).parents[2] / "docs" / "advice.schema.json").read_text("utf-8"))
)


@pytest.fixture
def book():
    return read_rulebook()


@pytest.fixture
def answer(tmp_path, book):
    def answered(question: str, on: dt.date = ON, *lines: str):
        case = lawn_of(tmp_path, book, on, *lines)
        named = programmes_asked(question, book.programmes, book.asked_as)
        return report_of(Advice(case), named, question) if named else None

    return answered


@pytest.mark.parametrize(
    "question",
    [
        "when is the renovation due",
        "where am i with the renovation?",
        "how far are we with the renovation",
        "What's left of the lawn renovation",
        "Can we renovate this weekend?",
        "how long does a complete renovation take",
        "is it too late for the fall renovation",
    ],
)
def test_its_name_is_heard(book, question) -> None:
    assert "renovation" in programmes_asked(question, book.programmes, book.asked_as)


@pytest.mark.parametrize(
    "question",
    [
        "should I core before the renovation?",
        "renovated last autumn, when do I feed",
        "should I dethatch this year",
        "is it too late to overseed",
        "kill it all and start a new lawn?",
    ],
)
def test_a_job_named_beside_it_is_what_is_asked_about(book, question) -> None:
    assert not programmes_asked(question, book.programmes, book.asked_as)


def test_a_holiday_of_the_place_is_known_by_its_name(answer) -> None:
    found = answer("can we do the whole renovation on labor day weekend?")
    assert found.choice.run.first == dt.date(2026, 9, 5)
    first, *_ = programme_text(found).splitlines()
    assert first.startswith("Long weekend of Labor Day, Saturday 5 to Monday 7 Sep: the whole goes")
    # The same figures as the view of free days has.
    same = next(c for c in compose_weekends(found.advice).choices if c.run == found.choice.run)
    assert found.choice == same
    whole = found.choice.rehearsal
    assert f"in {whole.count('through')} of {len(whole.years)} years" in " ".join(
        programme_text(found).split()
    )


@pytest.mark.parametrize(
    ("question", "first"),
    [
        ("can we renovate this weekend", dt.date(2026, 9, 5)),
        ("is 12 september good for the renovation", dt.date(2026, 9, 12)),
        ("renovation next weekend?", dt.date(2026, 9, 12)),
        ("can the renovation wait for a long weekend", dt.date(2026, 9, 5)),
        ("what if I skip the renovation this year", None),
        ("when is the renovation due", None),
    ],
)
def test_the_free_days_that_are_meant(answer, question, first) -> None:
    choice = answer(question).choice
    assert (choice and choice.run.first) == first


def test_a_day_that_two_countries_read_differently_is_refused(answer) -> None:
    with pytest.raises(BadInput):
        answer("is the renovation possible on 9/10")


def test_hours_are_those_of_the_advice(answer) -> None:
    found = answer("how long does the renovation take")
    (standing,) = found.standings
    minutes = sum(found.advice.minutes(step.item) for step in open_jobs(standing))
    assert [s.job for s in open_jobs(standing)] == [
        "low_mow", "thatch_removal", "core_aeration", "overseeding",
    ]  # fmt: skip
    hours, rest = divmod(round(minutes / 5) * 5, 60)
    assert f"About {hours} h {rest} min of work" in programme_text(found)


def test_what_is_done_is_told_and_the_gates_of_what_is_not(answer) -> None:
    before, after = answer("renovation"), answer("renovation", dt.date(2026, 9, 7), *PREPARED)
    assert "FIRST" in programme_text(before)
    text = programme_text(after)
    assert "FIRST" not in text
    assert "1. Low mowing, done on 5 Sep." in text
    assert "3. Core aeration, done on 6 Sep." in text
    assert "4. Overseeding, by 15 Sep." in text
    # What can hurt stands beside the work that is left, and no more.
    assert "Treated seed" in text
    assert "Blades: engine off" in programme_text(before)


def test_as_data(answer) -> None:
    data = json.loads(json.dumps(programme_json(answer("can we renovate this weekend"))))
    SCHEMA.validate(data)
    assert data["asked_days"] == "2026-09-05"
    assert [each["programme"] for each in data["programmes"]] == ["renovation"]


def test_a_lawn_that_needs_none_gets_the_answer_about_the_job(tmp_path, book) -> None:
    case = lawn_of(tmp_path, book, ON, "r95,2026-08-31,observation,good_turf_share,30 %,front,x")
    named = programmes_asked("when do I renovate", book.programmes, book.asked_as)
    assert report_of(Advice(case), named, "when do I renovate") is None


@pytest.mark.parametrize(
    ("limit", "says"),
    [
        ("away,2026-09-12 to 2026-09-13", "You are away 12 to 13 Sep."),
        ("work,weekend", "You have no hours 12 to 13 Sep."),
    ],
)
def test_a_weekend_that_a_limit_takes_away_is_told_so(answer, limit, says) -> None:
    value = limit.replace("weekend", '"saturday never, sunday never"')
    free, shut = (
        answer("can we renovate next weekend", ON, *lines)
        for lines in ((), (f"r90,{ON},limit,{value},,",))
    )
    assert (free.shut, shut.choice) == (None, None)
    assert programme_text(shut).startswith(says)
    assert says not in programme_text(free)
