"""Days that keepers know, each planned within its limit, checked, and compared with brute force."""

from __future__ import annotations

import datetime as dt
import sys
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))  # for random_plans
from random_plans import best_by_force

from advisor.base.record import replace
from advisor.planning.check_plan import plan_faults
from advisor.planning.doors import Door
from advisor.planning.make_plan import make_plan
from advisor.planning.timetable import Crew, Errand, Plan, Slot, Task, WorkDay

SATURDAY = dt.date(2026, 9, 5)
DAY = WorkDay(SATURDAY, 510, 1140, 480, 24.0, rest=0, errands=((420, 1260),))
MACHINES = ("vertical_mower", "core_aerator")
CREW = Crew(
    1,
    {"vertical_mower": (240.0, 64.0), "core_aerator": (240.0, 78.0)},
    dict.fromkeys(MACHINES, Door(30, 10, 10, 15, 30, pair=True)),
)
THATCH = Task(
    "thatch", "thatch", "front", "thatch", 30, 6.0, "vertical_mower", engine=True, worth=0.5
)
CLEAR = Task(
    "clear", "thatch", "front", "clear", 50, 4.0, shared=True, worth=0.5,
    after=frozenset({"thatch"}), same_day=frozenset({"thatch"}),
)  # fmt: skip
CORE = Task(
    "core", "core", "front", "core", 40, 6.0, "core_aerator", engine=True,
    after=frozenset({"clear"}),
)  # fmt: skip
SEED = Task(
    "seed", "seed", "front", "seed", 15, 2.5, "spreader", worth=0.5,
    after=frozenset({"clear", "core"}),
)  # fmt: skip
COVER = Task(
    "cover", "seed", "front", "cover", 90, 4.0, shared=True, worth=0.5,
    after=frozenset({"seed"}), same_day=frozenset({"seed"}),
)  # fmt: skip
ALL = (THATCH, CLEAR, CORE, SEED, COVER)


def planned(
    days: tuple[WorkDay, ...] = (DAY,), crew: Crew = CREW, tasks: tuple[Task, ...] = ALL
) -> Plan:
    """The plan, held against the checker and against every choice of days and orders."""
    plan = make_plan(tasks, days, crew)
    assert plan_faults(plan, tasks, days, crew) == []
    assert plan.cost == pytest.approx(best_by_force(tasks, days, crew))
    return plan


def kinds(plan: Plan) -> list[tuple[str, tuple[str, ...]]]:
    return [(errand.kind, errand.machines) for errand in plan.errands]


def test_without_a_limit_two_machines_come_in_one_trip() -> None:
    plan = planned()
    assert plan.dropped == ()
    assert kinds(plan) == [("fetch", MACHINES), ("return", MACHINES)]
    assert plan.hire == 142
    start = {slot.task: slot.start for slot in plan.slots}
    # They are fetched no sooner than they are wanted, and gone before the seed.
    assert plan.errands[0].end == start["thatch"]
    assert plan.errands[1].end <= start["seed"]


def test_two_hours() -> None:
    """No time for a machine: what is left is seed, which can be finished."""
    plan = planned((replace(DAY, parts=((780, 900),), errands=((780, 900),)),))
    assert set(plan.dropped) == {"thatch", "clear", "core"}
    assert plan.errands == ()


def test_one_hour_sows_nothing_that_could_not_be_covered() -> None:
    plan = planned((replace(DAY, parts=((780, 840),), errands=((780, 840),)),))
    assert plan.slots == ()


def test_a_hundred_dollars() -> None:
    plan = planned(crew=replace(CREW, most_hire=100.0))
    assert plan.dropped == ("core",)
    assert plan.hire == 64


def test_no_lifting_and_alone() -> None:
    plan = planned(crew=replace(CREW, lifts=False))
    assert set(plan.dropped) == {"thatch", "clear", "core"}


def test_no_lifting_and_a_second_pair_of_hands() -> None:
    plan = planned(crew=replace(CREW, lifts=False, people=2))
    assert plan.dropped == ()
    assert {errand.people for errand in plan.errands} == {2}


def test_no_lifting_and_a_helper_until_noon() -> None:
    """The helper loads: so the machines are back by noon."""
    day = replace(DAY, helpers=((480, 720),))
    plan = planned((day,), replace(CREW, lifts=False))
    assert plan.dropped == ()
    assert all(errand.end <= 720 and errand.people == 2 for errand in plan.errands)


def test_a_helper_until_noon_shares_the_raking() -> None:
    plan = planned((replace(DAY, helpers=((480, 720),)),))
    people = {slot.task: slot.people for slot in plan.slots}
    ends = {slot.task: slot.end for slot in plan.slots}
    assert people["clear"] == 2
    assert ends["clear"] <= 720 < ends["cover"]
    assert people["cover"] == 1


def test_by_hand_alone() -> None:
    plan = planned(crew=replace(CREW, machines=False))
    assert [slot.task for slot in plan.slots] == ["seed", "cover"]


def test_one_machine() -> None:
    plan = planned((replace(DAY, away=frozenset({"core_aerator"})),))
    assert plan.dropped == ("core",)
    assert {errand.machines for errand in plan.errands} == {("vertical_mower",)}


def test_a_machine_on_one_day_only() -> None:
    sunday = replace(DAY, date=dt.date(2026, 9, 6))
    plan = planned((replace(DAY, away=frozenset({"core_aerator"})), sunday))
    assert plan.dropped == ()
    days = {slot.task: slot.date for slot in plan.slots}
    assert days["core"] == sunday.date


def test_an_absence() -> None:
    sunday = replace(DAY, date=dt.date(2026, 9, 6))
    plan = planned((replace(DAY, fit=False), sunday))
    assert {slot.date for slot in plan.slots} == {sunday.date}
    assert {errand.date for errand in plan.errands} == {sunday.date}


def test_a_noise_ban_on_sunday() -> None:
    """Engines rest on Sunday, seed does not."""
    sunday = replace(DAY, date=dt.date(2026, 9, 6), engines=(), most_minutes=300)
    plan = planned((replace(DAY, most_minutes=260), sunday))
    days = {slot.task: slot.date for slot in plan.slots}
    assert days["core"] == SATURDAY
    assert days["cover"] == sunday.date


def test_quiet_until_ten() -> None:
    plan = planned((replace(DAY, engines=((600, 720), (840, 1020))),))
    assert min(s.start for s in plan.slots if s.task in ("thatch", "core")) >= 600
    assert plan.dropped == ()


def test_a_shop_that_closes_at_noon() -> None:
    plan = planned((replace(DAY, shop=((480, 720),)),))
    assert plan.dropped == ()
    assert all(480 <= errand.at_shop <= 720 for errand in plan.errands)


def test_a_shop_that_is_shut() -> None:
    plan = planned((replace(DAY, shop=()),))
    assert set(plan.dropped) == {"thatch", "clear", "core"}


def test_rain_on_one_day() -> None:
    sunday = replace(DAY, date=dt.date(2026, 9, 6))
    plan = planned((DAY, replace(sunday, fit=False)))
    assert {slot.date for slot in plan.slots} == {SATURDAY}
    assert plan.dropped == ()


def test_a_morning_and_an_evening() -> None:
    """Work in both, and nothing over noon."""
    parts = ((510, 720), (960, 1140))
    plan = planned((replace(DAY, parts=parts, errands=((420, 720), (960, 1140))),))
    assert plan.dropped == ()
    pieces: list[Slot | Errand] = [*plan.slots, *plan.errands]
    assert not any(piece.start < 960 and piece.end > 720 for piece in pieces)
    assert {piece.start >= 960 for piece in pieces} == {True, False}


def test_two_short_blocks_are_two_trips_where_that_is_cheaper() -> None:
    """In one trip each machine would be paid for two blocks."""
    blocks = {"vertical_mower": (150.0, 64.0), "core_aerator": (150.0, 78.0)}
    plan = planned((replace(DAY, most_met_hours=30.0),), replace(CREW, blocks=blocks))
    assert plan.hire == 142
    assert len(plan.errands) == 4


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"start": 400}, "somebody works while not there"),
        ({"end": 470}, "min, wanted 50"),
        ({"at_shop": 480}, "in the middle of its drive"),
        ({"people": 3}, "3 people at work, of 1"),
        ({"machines": ("core_aerator",)}, "vertical_mower is not fetched once"),
        ({"machines": (*MACHINES, "spreader")}, "spreader is fetched or returned and not used"),
        ({"kind": "return"}, "is not fetched once and then returned once"),
        ({"start": 600, "end": 650, "at_shop": 615}, "is used before it is there"),
    ],
)
def test_the_checker_finds_each_fault_of_an_errand(change: dict[str, Any], says: str) -> None:
    plan = planned()
    fetch, bring = plan.errands
    broken = replace(plan, errands=(replace(fetch, **change), bring))
    assert any(says in fault for fault in plan_faults(broken, ALL, (DAY,), CREW))


@pytest.mark.parametrize(
    ("day", "crew", "says"),
    [
        ({"shop": ((600, 720),)}, {}, "the shop is shut"),
        ({"engines": ((840, 1020),)}, {}, "an engine outside its hours"),
        ({"away": frozenset({"core_aerator"})}, {}, "core_aerator is not to be had"),
        ({"parts": ((510, 600),)}, {}, "somebody works while not there"),
        ({"fit": False}, {}, "an errand on a day without work"),
        ({}, {"most_hire": 100.0}, "hire of 142, over 100"),
        ({}, {"lifts": False}, "loaded by one, who must not lift"),
        ({}, {"machines": False}, "an engine, where work is by hand"),
        ({}, {"blocks": dict.fromkeys(MACHINES, (60.0, 10.0))}, "told as 142"),
        ({"most_minutes": 300}, {}, "min of work"),
        ({"most_met_hours": 18.0}, {}, "MET-hours of work"),
    ],
)
def test_the_checker_holds_a_plan_against_each_limit(
    day: dict[str, Any], crew: dict[str, Any], says: str
) -> None:
    limited, hands = replace(DAY, **day), replace(CREW, **crew)
    assert any(says in fault for fault in plan_faults(planned(), ALL, (limited,), hands))
