"""Plans against a checker that knows nothing of how they are made, and against brute force."""

from __future__ import annotations

import datetime as dt
import random
import sys
from pathlib import Path

import pytest

from advisor.base.record import replace

sys.path.insert(0, str(Path(__file__).parent))  # for random_plans
from random_plans import (
    best_by_force,
    built_feasible,
    random_crew,
    random_days,
    random_tasks,
    that_can_wait,
)

from advisor.planning.check_plan import plan_faults
from advisor.planning.day_schedule import hire_cost, schedule_day
from advisor.planning.make_plan import make_plan
from advisor.planning.timetable import Crew, Plan, Slot, Task, WorkDay

DAY = WorkDay(dt.date(2026, 9, 5), 540, 1020, 360, 21.0, rest=0)


def task(id: str, minutes: float = 60, **more: object) -> Task:
    return Task(id, id, "lawn", id, minutes, 4.0, **more)  # type: ignore[arg-type]


@pytest.mark.sample(10)
@pytest.mark.parametrize("seed", range(20))
def test_every_random_plan_passes_the_checker(seed: int) -> None:
    """50 for each seed, 1,000 in all; docs/benchmarks/plans.py runs 5,000."""
    rng = random.Random(seed)
    for _ in range(50):
        tasks, days, crew = random_tasks(rng, 10), random_days(rng), random_crew(rng)
        assert plan_faults(make_plan(tasks, days, crew), tasks, days, crew) == []


@pytest.mark.parametrize("seed", range(8))
def test_as_cheap_as_brute_force_on_small_cases(seed: int) -> None:
    rng = random.Random(100 + seed)
    for _ in range(12):
        tasks, days, crew = random_tasks(rng, 5), random_days(rng)[:2], random_crew(rng)
        plan = make_plan(tasks, days, crew)
        assert plan.cost == pytest.approx(best_by_force(tasks, days, crew))


def test_a_job_that_can_wait_between_its_steps_is_done_whole_and_cheaply() -> None:
    rng = random.Random(500)
    apart = 0
    for _ in range(96):
        tasks = that_can_wait(rng, random_tasks(rng, 5))
        days, crew = random_days(rng)[:2], random_crew(rng)
        plan = make_plan(tasks, days, crew)
        assert plan_faults(plan, tasks, days, crew) == []
        assert plan.cost == pytest.approx(best_by_force(tasks, days, crew))
        on = {slot.task: slot.date for slot in plan.slots}
        apart += any(on[id] != on[t.id] for t in tasks if t.id in on for id in t.whole_with)
    assert apart >= 3


def test_what_can_wait_goes_on_another_day_but_is_not_left_half_done() -> None:
    till = task("till", 300)
    sow = task("sow", 300, after=frozenset({"till"}), whole_with=frozenset({"till"}))
    days = [DAY, replace(DAY, date=DAY.date + dt.timedelta(days=1))]
    plan = make_plan([till, sow], days, Crew(1))
    assert [slot.date for slot in plan.slots] == [day.date for day in days]
    assert plan_faults(plan, [till, sow], days, Crew(1)) == []
    # A day that cannot hold both holds neither.
    assert make_plan([till, sow], days[:1], Crew(1)).dropped == ("till", "sow")
    half = Plan((replace(SLOT, task="till", end=900),), ("sow",), 0, True)
    assert "sow: dropped, but till is done" in plan_faults(half, [till, sow], days, Crew(1))
    other = Plan((replace(SLOT, task="sow", end=900),), ("till",), 0, True)
    assert "sow: done, but till is dropped" in plan_faults(other, [till, sow], days, Crew(1))


def test_sites_built_to_be_feasible_get_a_plan_near_the_best_known() -> None:
    rng = random.Random(7)
    whole = near = 0
    for _ in range(200):
        tasks, days, crew, known = built_feasible(rng)
        plan = make_plan(tasks, days, crew)
        assert plan_faults(plan, tasks, days, crew) == []
        whole += not plan.dropped
        near += plan.cost <= known * 1.1 + 1e-9
    assert whole >= 0.9 * 200
    assert near >= 0.9 * 200


def test_work_that_fits_nowhere_is_dropped_and_so_is_what_belongs_to_its_day() -> None:
    spread = task("spread", 30)
    cover = task("cover", 400, after=frozenset({"spread"}), same_day=frozenset({"spread"}))
    plan = make_plan([spread, cover], [DAY], Crew(1))
    # Seed spread and never covered is worse than none.
    assert plan.dropped == ("spread", "cover")
    half = Plan((replace(SLOT, task="spread"),), ("cover",), 0, True)
    assert "cover: dropped, but spread is done" in plan_faults(
        half, [spread, cover], [DAY], Crew(1)
    )
    assert plan_faults(plan, [spread, cover], [DAY], Crew(1)) == []


def test_nothing_on_a_wet_day() -> None:
    wet = replace(DAY, fit=False)
    dry = replace(DAY, date=dt.date(2026, 9, 6))
    plan = make_plan([task("core")], [wet, dry], Crew(1))
    assert [slot.date for slot in plan.slots] == [dry.date]


def test_a_hired_machine_is_used_within_one_block() -> None:
    """One block of 4 h for 85: both areas are cored on one day rather than on two."""
    days = [replace(DAY, most_met_hours=100), replace(DAY, date=dt.date(2026, 9, 6))]
    tasks = [task("front", 100, machine="core_aerator"), task("back", 100, machine="core_aerator")]
    plan = make_plan(tasks, days, Crew(1, {"core_aerator": (240, 85)}))
    assert len({slot.date for slot in plan.slots}) == 1
    assert hire_cost({"core_aerator": (540, 780)}, {"core_aerator": (240, 85)}) == 85
    assert hire_cost({"core_aerator": (540, 781)}, {"core_aerator": (240, 85)}) == 170


def test_people_share_hand_work() -> None:
    alone = schedule_day([task("rake", 120, shared=True)], DAY, Crew(1))
    both = schedule_day([task("rake", 120, shared=True)], DAY, Crew(2))
    assert alone is not None
    assert both is not None
    assert alone.slots[0].end - alone.slots[0].start == 120
    assert both.slots[0].end - both.slots[0].start == 60


SLOT = Slot("core", DAY.date, 540, 600, 1)


@pytest.mark.parametrize(
    ("slots", "dropped", "says"),
    [
        ((), (), "planned or dropped 0 times"),
        ((SLOT,), ("core",), "planned or dropped 2 times"),
        ((replace(SLOT, task="mow"),), ("core",), "no such task"),
        ((replace(SLOT, date=dt.date(2026, 9, 7)),), (), "none of the days"),
        ((replace(SLOT, start=500, end=560),), (), "outside the hours"),
        ((replace(SLOT, end=590),), (), "50.0 min of work for 60.0"),
        ((replace(SLOT, people=2),), (), "shared, but one person's work"),
    ],
)
def test_the_checker_finds_each_fault(
    slots: tuple[Slot, ...], dropped: tuple[str, ...], says: str
) -> None:
    faults = plan_faults(Plan(slots, dropped, 0, True), [task("core")], [DAY], Crew(1))
    assert any(says in fault for fault in faults)


def test_the_checker_finds_faults_between_tasks() -> None:
    first = task("rake", machine="vertical_mower")
    then = task(
        "clear", machine="vertical_mower", after=frozenset({"rake"}), same_day=frozenset({"rake"})
    )
    at_once = Plan((replace(SLOT, task="rake"), replace(SLOT, task="clear")), (), 0, True)
    said = " ".join(plan_faults(at_once, [first, then], [DAY], Crew(1)))
    assert "begins before rake has ended" in said
    assert "2 people at work, of 1" in said
    assert "at once" in said
    short = replace(DAY, most_minutes=100, most_met_hours=7)
    later = Plan((SLOT, Slot("mow", DAY.date, 600, 660, 1)), (), 0, True)
    said = " ".join(plan_faults(later, [task("core"), task("mow")], [short], Crew(1)))
    assert "120 min of work" in said
    assert "8.0 MET-hours" in said
