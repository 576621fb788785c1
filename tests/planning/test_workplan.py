"""The work plan of a lawn: the demo's, and the arithmetic of its hours against printed examples."""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest

from advisor.advice.book import Advice
from advisor.amounts.minutes import effective_field_capacity, minutes_of_work
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.base.strict_yaml import load_text
from advisor.cases.case import Case
from advisor.cases.daylight import daylight
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.planning.timetable import Task, met_hours
from advisor.planning.workplan import WorkPlan, compose_workplan
from advisor.render.sheets.workplan_beside import watering
from advisor.render.sheets.workplan_pages import workplan_html, workplan_json, workplan_text
from advisor.render.sheets.workplan_view import view_of
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.rulebook.work_steps import work_of

SATURDAY = dt.date(2026, 9, 5)


@pytest.fixture(scope="module")
def lawn(tmp_path_factory: pytest.TempPathFactory) -> Case:
    return open_case(write_demo(tmp_path_factory.mktemp("demo")), read_rulebook())


@pytest.fixture(scope="module")
def plan(lawn: Case) -> WorkPlan:
    return compose_workplan(Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3)


def test_effective_field_capacity_in_us_units() -> None:
    """Iowa State University A3-24: acres an hour = mph x ft x efficiency / 8.25."""
    acre, mph, foot = 4046.8564224, 0.44704, 0.3048
    for speed, width, efficiency in ((5, 15, 0.8), (2.5, 1.75, 0.75), (6, 20, 0.82)):
        printed = speed * width * efficiency / 8.25
        ours = effective_field_capacity(speed * mph, width * foot, efficiency) * 3600 / acre
        assert ours == pytest.approx(printed, rel=1e-4)
    # 10 ft at 4 mph and 75 %: 3.64 acres an hour, a printed row of such tables.
    assert effective_field_capacity(4 * mph, 10 * foot, 0.75) * 3600 / acre == pytest.approx(
        3.64, abs=0.005
    )
    assert minutes_of_work(3600, 2, 1, 1, 1) == pytest.approx(120)
    with pytest.raises(ValueError, match="efficiency"):
        effective_field_capacity(1, 1, 1.2)


def test_met_hours_are_energy() -> None:
    """Ainsworth et al. 1993, Compendium of physical activities: 1 MET is 1 kcal/kg and hour.

    Power mowing at 4.5 MET (Circulation 92(3):614, table 11): 70 kg for an hour is 315 kcal.
    """
    mowing = Task("mow", "mowing", "lawn", "mow", minutes=60, met=4.5)
    assert met_hours(mowing, 1) * 70 == pytest.approx(315)
    shared = Task("rake", "thatch_removal", "lawn", "rake", minutes=120, met=4.0, shared=True)
    assert met_hours(shared, 2) == pytest.approx(4.0)


def test_daylight_against_a_printed_almanac() -> None:
    """US Naval Observatory, Greenwich, 21 June: sunrise 03:43, sunset 20:21 UT (from memory)."""
    rises, sets = daylight(dt.date(2026, 6, 21), 51.48, 0.0, "UTC")
    assert abs(rises - (3 * 60 + 43)) <= 3
    assert abs(sets - (20 * 60 + 21)) <= 3
    # Where no zone is told the day still lies between two midnights.
    for longitude, zone in ((-93.0, "Etc/GMT+6"), (172.6, "Etc/GMT-12"), (-1.0, "UTC")):
        told = daylight(dt.date(2026, 9, 5), 42.0, longitude, zone)
        assert daylight(dt.date(2026, 9, 5), 42.0, longitude, None) == told
        assert 0 < told[0] < 12 * 60 < told[1] < 24 * 60
    assert daylight(dt.date(2026, 6, 21), 78, 15, "UTC") == (0, 1440)
    polar = daylight(dt.date(2026, 12, 21), 78, 15, "UTC")
    assert polar[0] == polar[1]


def test_working_order_on_each_area(plan: WorkPlan) -> None:
    before = plan.case.book.all_before
    ends = {}
    for slot in plan.plan.slots:
        task = plan.by_id[slot.task]
        moment = dt.datetime.combine(slot.date, dt.time()) + dt.timedelta(minutes=slot.start)
        for (operation, area), ended in ends.items():
            if area == task.area and task.operation in before[operation]:
                pytest.fail(f"{task.operation} after {operation} on {area}, which ended {ended}")
        ends[task.operation, task.area] = moment


def test_seed_is_covered_and_watered_the_day_it_is_spread(plan: WorkPlan) -> None:
    days: dict[str, set[dt.date]] = {}
    for slot in plan.plan.slots:
        task = plan.by_id[slot.task]
        if task.operation == "overseeding":
            days.setdefault(task.area, set()).add(slot.date)
    # Whether the back wants seed is not known yet, so it has no hour.
    assert set(days) == {"front"}
    assert ("overseeding", "back", "measure") in {
        (left.item.operation.id, left.item.part.label, left.item.verdict) for left in plan.left
    }
    assert all(len(dates) == 1 for dates in days.values())


def test_a_new_lawn_takes_days_and_its_seed_one_of_them(tmp_path: Path) -> None:
    """Cleared, tilled and raked ground may lie; what is sown is covered and watered that day."""
    site = write_demo(tmp_path)
    with (site / "journal.csv").open("a", encoding="utf-8") as journal:
        journal.write("r90,2026-09-04,observation,lines_marked,yes,,\n")
        journal.write("r91,2026-09-04,observation,own_lines_flagged,yes,,\n")
    case = open_case(site, read_rulebook(), SATURDAY)
    made = compose_workplan(Advice(case), SATURDAY, 3, only=["new_seeding"])
    on: dict[str, dict[str, dt.date]] = {}
    for slot in made.plan.slots:
        task = made.by_id[slot.task]
        on.setdefault(task.area, {})[task.id.split("/")[1]] = slot.date
    assert on
    for days in on.values():
        assert list(days) == [step.id for step in case.book.work.steps["new_seeding"]]
        assert len(set(days.values())) > 1
        assert len({days[id] for id in ("sow", "cover", "roll", "straw", "water")}) == 1
    assert {gate.work for gate in made.gates} == {days["till"] for days in on.values()}
    (line,) = [each for each in watering(made) if "moist surface" in each]
    assert "Tuesday 8 Sep" in line


def test_feeding_is_kept_off_new_seed_as_its_rule_file_says(plan: WorkPlan) -> None:
    assert not any(plan.by_id[s.task].operation == "feeding" for s in plan.plan.slots)
    (front,) = (x.item for x in plan.left
                if (x.item.operation.id, x.item.part.label) == ("feeding", "front"))  # fmt: skip
    assert front.aside is not None
    assert "seed comes first" in front.aside.says


def test_rain_moves_the_work(lawn: Case) -> None:
    wet = compose_workplan(Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3, rain=[SATURDAY])
    assert wet.plan.slots
    assert all(slot.date > SATURDAY for slot in wet.plan.slots)
    every = [SATURDAY + dt.timedelta(days=n) for n in range(3)]
    none = compose_workplan(Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3, rain=every)
    assert not none.plan.slots
    assert "see what to do instead" in workplan_text(none).replace("\n", " ")


def test_after_rain_the_next_days_lie_in_the_season(plan: WorkPlan) -> None:
    """What the salvage names must agree with the rule files: an open window, and a free day."""
    for wanted in plan.items:
        found = plan.next_days[wanted.operation.id]
        if found is None:
            continue
        assert found.date > plan.days[-1].date
        assert found.date.weekday() >= 5
        closes = wanted.decision.outlook.current
        assert closes is not None
        assert found.date <= closes.closes.p90


def test_the_keepers_own_time_stands_above_ours(lawn: Case, tmp_path: Path) -> None:
    site = write_demo(tmp_path)
    with (site / "journal.csv").open("a", encoding="utf-8") as journal:
        journal.write("r90,2025-09-14,work,core_aeration,took=100 min,back,\n")
        journal.write("r91,2026-08-20,observation,soil_firmness,hard,back,\n")
        journal.write("r92,2026-09-04,observation,lines_marked,yes,,\n")
    own = compose_workplan(Advice(open_case(site, read_rulebook(), SATURDAY)), SATURDAY, 3)
    minutes = {t.area: t.minutes for t in own.tasks if t.operation == "core_aeration"}
    assert minutes["back"] == pytest.approx(100)


def test_pages_hold_every_caution_and_step(plan: WorkPlan) -> None:
    text = " ".join(workplan_text(plan).split())
    page = workplan_html(plan)
    for slot in plan.plan.slots:
        assert plan.by_id[slot.task].title in text
        assert plan.by_id[slot.task].title in page
    for operation in {plan.by_id[s.task].operation for s in plan.plan.slots}:
        for id in plan.case.book.operations[operation].safety:
            assert plan.case.book.cautions[id].short in text
    told = json.loads(json.dumps(workplan_json(plan)))
    assert all(task["safety"] for day in told["days"] for task in day["tasks"])
    assert {"days", "totals", "if_rain"} <= told.keys()


def test_each_day_names_every_caution_by_its_first_task(plan: WorkPlan) -> None:
    for day, lines in zip(plan.days, view_of(plan).days, strict=True):
        slots = [slot for slot in plan.plan.slots if slot.date == day.date]
        named = ""
        work = [line for line in lines.tasks if line.stop]  # the ways to the shop begin none
        for slot, line in zip(slots, work, strict=True):
            named += line.mind
            operation = plan.case.book.operations[plan.by_id[slot.task].operation]
            assert all(plan.case.book.cautions[id].short in named for id in operation.safety)


def test_work_that_may_not_be_needed_says_so_and_has_no_hour_unless_asked_for(
    plan: WorkPlan, lawn: Case
) -> None:
    assert {item.need for item in plan.items} == {True}
    asked = compose_workplan(
        Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3, only=["overseeding", "thatch_removal"]
    )
    need = {(w.operation.id, w.part.name): w.need for w in asked.items}
    told = [line for day in view_of(asked).days for line in day.tasks if line.stop]
    for slot, line in zip(asked.plan.slots, told, strict=True):
        task = asked.by_id[slot.task]
        sure = need[task.operation, task.area] is True
        assert ("only if it is needed" in line.says) is not sure
    assert {True, None} <= set(need.values())


@pytest.mark.parametrize(
    ("first", "days", "only", "says"),
    [
        (dt.date(2026, 9, 4), 2, [], "looks ahead"),
        (SATURDAY, 0, [], "wanted 1 to 7"),
        (SATURDAY, 8, [], "wanted 1 to 7"),
        (SATURDAY, 2, ["dancing"], "has no steps to plan"),
    ],
)
def test_refused(lawn: Case, first: dt.date, days: int, only: list[str], says: str) -> None:
    with pytest.raises(BadInput, match=says):
        compose_workplan(Advice(replace(lawn, on=SATURDAY)), first, days, only=only)


def test_work_file() -> None:
    book = read_rulebook()
    work = book.work
    for operation, steps in work.steps.items():
        effort = book.operations[operation].effort
        assert effort is not None
        minutes = sum(
            minutes_of_work(92.90304, s.passes, m.speed_m_s, m.width_m, m.efficiency)
            if (m := work.machines.get(s.machine or ""))
            else sum(s.by_hand_min or ()) / 2
            for s in steps
        )
        low, high = effort.minutes_per_1000_ft2
        assert 0.9 * low <= minutes <= 1.1 * high, operation


def test_broken_work_file() -> None:
    text = """\
format: 1
machines:
  corer: {title: corer, width: 19 lb, speed: 2 mph, efficiency: 70 %, met: 6, evidence: [x]}
hired: {said: paid for until it is back, evidence: [memory]}
steps:
  core_areation:
    - {id: core, title: core, machine: korer, stop: stop, evidence: [memory]}
    - {id: rake, title: rake, by_hand: [1 min, 2 min], stop: stop, evidence: [memory]}
evidence:
  - {id: memory, kind: from_memory, says: ours}
"""
    book = read_rulebook()
    with pytest.raises(BadInput) as refused:
        work_of(load_text(text, "work.yaml"), book.sources, book.operations)
    said = "\n".join(str(p) for p in refused.value.problems)
    for wanted in (
        "work.yaml:3:32: '19 lb' is a mass",
        "evidence 'x' is not declared",
        "did you mean 'core_aeration'?",
        "did you mean 'corer'?",
        "say its effort under 'met'",
    ):
        assert wanted in said


def test_of_two_jobs_the_one_that_is_known_to_be_needed_weighs_more(lawn: Case) -> None:
    plan = compose_workplan(Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3, only=["overseeding"])
    worth: dict[str, float] = {}
    for task in plan.tasks:
        worth[task.area] = worth.get(task.area, 0.0) + task.worth
    # The front is known to want seed; of the back nobody knows.
    assert worth == pytest.approx({"front": 1.0, "back": 0.5})
