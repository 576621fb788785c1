"""A wait that outlasts the season to come is told before anything is bought for that season.

Prodiamine's label keeps seed waiting for months (rules/ingredients.yaml names the source): put down
in March it reaches into the autumn, and a digest that said "order seed" in July would waste it.
"""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.base.record import replace
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.week import compose_week

BEFORE = (
    ("2018-07-01", "wish", "overseeding", "yes"),
    ("2018-07-19", "observation", "good_turf_share", "70 %"),
    ("2018-07-19", "observation", "turf_state", "growing"),
)
PREVENTER = ("2018-03-05", "observation", "weed_preventer", "prodiamine")
JULY = dt.date(2018, 7, 21)


@pytest.fixture(params=[True, False], ids=["preventer", "none"])
def week_and_digest(request, make_lawn):
    none = ("2018-07-19", "observation", "weed_preventer", "none")
    lawn = make_lawn("nebraska", "tall_fescue", (PREVENTER if request.param else none, *BEFORE))
    return (
        request.param,
        compose_week(replace(lawn, on=JULY)),
        compose_edition(replace(lawn, on=JULY)).digest,
    )


def test_seed_is_not_ordered_for_a_season_that_the_label_forbids(week_and_digest):
    forbidden, week, digest = week_and_digest
    answer = next(a for a in week.answers if a.decision.operation.id == "overseeding")
    assert answer.decision.verdict == "wait"
    assert answer.decision.forbidden_ahead is forbidden
    assert (answer in week.missed) is forbidden
    assert (answer in week.coming) is not forbidden
    assert any("Overseeding" in line.title for line in digest.dated) is not forbidden
    assert any(line.title == "Overseeding" for line in digest.held) is forbidden


def test_what_depends_on_the_sowing_is_not_planned_either(week_and_digest):
    forbidden, week, _ = week_and_digest
    low_mow = next(a for a in week.answers if a.decision.operation.id == "low_mow")
    assert (low_mow.decision.verdict == "not_needed") is forbidden
