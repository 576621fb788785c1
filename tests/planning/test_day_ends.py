"""The two lines below a day of the plan sheet, held to the plan that they speak of."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from settled_days import SATURDAY, SUNDAY, minute, settled

from advisor.cli.opened import advice_for
from advisor.planning.day_progress import by_clock
from advisor.planning.on_day import pieces_of
from advisor.planning.rain_day import without_day
from advisor.planning.stop import where_to_stop
from advisor.planning.workplan import WorkPlan, compose_workplan
from advisor.render.sheets.workplan_pages import workplan_html, workplan_json, workplan_text
from advisor.render.sheets.workplan_view import view_of


@pytest.fixture(scope="module")
def plan(tmp_path_factory: pytest.TempPathFactory) -> WorkPlan:
    site: Path = settled(tmp_path_factory.mktemp("demo"))
    return compose_workplan(advice_for(site, SATURDAY), SATURDAY, 3)


def test_each_day_of_work_ends_with_both_and_no_other_day_does(plan: WorkPlan) -> None:
    saturday, sunday, monday = view_of(plan).days
    for day in (saturday, sunday):
        assert [line.split("?")[0].split()[0] for line in day.ends] == ["Rain", "Tired"]
    assert monday.ends == ()
    for shown in (workplan_text(plan), workplan_html(plan)):
        said = " ".join(shown.split())
        assert all(line in said for day in (saturday, sunday) for line in day.ends)


@pytest.mark.parametrize("on", [SATURDAY, SUNDAY], ids=str)
def test_who_is_tired_is_told_the_nearest_points_where_nothing_is_owed(plan: WorkPlan, on) -> None:
    (line,) = (
        end
        for day, shown in zip(plan.days, view_of(plan).days, strict=True)
        for end in shown.ends
        if day.date == on and end.startswith("Tired")
    )
    before, after = map(minute, re.findall(r"\d\d:\d\d", line))
    pieces = pieces_of(plan.plan, plan.by_id, on)

    def free(at: int) -> bool:
        return where_to_stop(pieces, plan.work, by_clock(pieces, at)).now

    assert free(before)
    assert free(after)
    assert before < 12 * 60 <= after
    ends = {piece.end for piece in pieces}
    assert not any(free(at) for at in ends if before < at < after)


def test_what_rain_moves_is_in_the_plan_that_is_made_with_that_day_wet(plan: WorkPlan) -> None:
    for on in (SATURDAY, SUNDAY):
        found = without_day(plan, on)
        assert found is not None
        wet = compose_workplan(plan.advice, SATURDAY, 3, rain=[on])
        days = {}
        for slot in wet.plan.slots:
            task = wet.by_id[slot.task]
            days[task.operation, task.area] = slot.date
        moved = {job: day for day, jobs in found.moves for job in jobs}
        assert moved
        assert all(days[job] == day for job, day in moved.items())
        assert not set(found.lost) & days.keys()
        first = f"Rain on {on:%A}? "
        assert any(line.startswith(first) for day in view_of(plan).days for line in day.ends)


def test_of_the_only_day_of_a_plan_rain_is_told_elsewhere(plan: WorkPlan) -> None:
    alone = compose_workplan(plan.advice, SATURDAY, 1)
    assert without_day(alone, SATURDAY) is None
    (day,) = view_of(alone).days
    assert not any(line.startswith("Rain") for line in day.ends)
    assert "IF IT RAINS" in workplan_text(alone)


def test_other_programs_read_the_same_points(plan: WorkPlan) -> None:
    for shown, day in zip(view_of(plan).days, workplan_json(plan)["days"], strict=True):
        told = day["tired_at_noon"]
        said = [line for line in shown.ends if line.startswith("Tired")]
        assert bool(told) is bool(said)
        if told:
            assert re.findall(r"\d\d:\d\d", said[0]) == [told["stop"], told["go_on"]]
            assert all(why in said[0] for why in told["why"])
