"""What can be done at any time does not head the digest week after week."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.base.record import replace
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.week import compose_week

SUMMER = [dt.date(2016, month, 6) for month in range(4, 11)]
WINTER = dt.date(2016, 2, 18)


@pytest.mark.parametrize("on", SUMMER, ids=str)
def test_tools_wait_for_winter_unless_there_is_nothing_else(make_lawn, on):
    lawn = make_lawn("nebraska", "kentucky_bluegrass")
    digest = compose_edition(replace(lawn, on=on)).digest
    assert not any(task.title == "Tool care" for task in digest.tasks)
    assert "tool care" in digest.then
    assert "tool care" not in digest.lead


def test_in_winter_they_lead(make_lawn):
    digest = compose_edition(replace(make_lawn("nebraska", "kentucky_bluegrass"), on=WINTER)).digest
    assert [task.title for task in digest.tasks] == ["Tool care"]


@pytest.mark.parametrize("on", [WINTER, *SUMMER], ids=str)
def test_no_measurement_is_due_before_a_day_that_is_past(make_lawn, on):
    week = compose_week(replace(make_lawn("nebraska", "kentucky_bluegrass"), on=on))
    asked = [a.headline for a in week.coming if "measure" in a.headline]
    today = f"before {on.day} {on:%b}"
    assert not any(line.endswith(today) for line in asked)


def test_leaves_are_not_the_question_of_april(make_lawn):
    question = compose_week(
        replace(make_lawn("nebraska", "kentucky_bluegrass"), on=dt.date(2016, 4, 8))
    ).question
    assert question is None or question.wanted.fact not in ("leaf_cover", "disease_seen")
