"""Where a lawn stands in its programmes: on the demo's lawn with invented records, on all grasses.

Every journal line here is invented.
"""

from __future__ import annotations

import datetime as dt
import json
from pathlib import Path

import pytest
from demo_autumn import FED, PREPARED, SOWN, THROUGH, WATERED, lawn_of

from advisor.advice.book import Advice
from advisor.advice.item import Item
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.cases.parts import parts_on
from advisor.demo.scenario import DEMO_DAY, write_demo
from advisor.planning.keep_plan import keep_plan
from advisor.planning.programme import standings
from advisor.planning.programme_step import Standing, Step, standing_json
from advisor.planning.workplan import compose_workplan
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

DAYS = [dt.date(2026, 1, 8) + dt.timedelta(days=15 * n) for n in range(17)]


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook()


def standing(case: Case, programme: str, part: str = "front") -> Standing | None:
    found = standings(Advice(case))
    return next((s for s in found if (s.programme.id, s.part.name) == (programme, part)), None)


def states(found: Standing | None) -> dict[str, str]:
    assert found is not None
    return {step.job: step.state for step in found.steps}


@pytest.fixture
def renovation(tmp_path: Path, book: RuleBook):
    def asked(on: dt.date, *lines: str) -> Standing:
        found = standing(lawn_of(tmp_path, book, on, *lines), "renovation")
        assert found is not None
        return found

    return asked


def test_before_anything_is_done(renovation) -> None:
    found = renovation(DEMO_DAY)
    assert (found.state, found.done, len(found.counted)) == ("due", 0, 7)
    assert states(found) == {
        "low_mow": "next",
        "thatch_removal": "waits",
        "core_aeration": "waits",
        "topdressing": "waits",
        "overseeding": "waits",
        "seedling_watering": "not_yet",
        "mowing": "not_yet",
        "feeding": "not_yet",
    }
    assert found.next is not None
    assert found.next.job == "low_mow"
    kinds = {
        job: [w.kind for w in found.step(job).waits] for job in ("core_aeration", "overseeding")
    }
    assert kinds == {"core_aeration": ["gate", "forerunner"], "overseeding": ["forerunner"]}
    assert found.step("overseeding").waits[0].what == (
        "low_mow", "thatch_removal", "core_aeration",
    )  # fmt: skip
    # Nobody said whether it is wanted; it is shown, and not counted.
    assert found.step("topdressing").waits[0].kind == "measurement"
    assert not found.step("topdressing").counts


def test_no_day_before_a_gate_can_be_had_and_none_after_the_seed_is_due(renovation) -> None:
    found = renovation(DEMO_DAY)
    seed, cores = found.step("overseeding"), found.step("core_aeration")
    assert seed.date is not None
    gate = cores.waits[0]
    assert (cores.first, seed.first) == (gate.until, gate.until)
    assert found.last == seed.last == seed.date.day
    assert all(step.last <= seed.last for step in found.steps if step.last and not step.care)
    assert found.first == DEMO_DAY
    assert found.fits
    # Three weeks to the first cut at the soonest (Oregon), a month to the first feed (Florida).
    assert found.through is not None
    assert found.through[0] == seed.first + dt.timedelta(days=30)


def test_with_the_ground_prepared_the_seed_is_next(renovation) -> None:
    found = renovation(dt.date(2026, 9, 7), *PREPARED)
    assert found.state == "under_way"
    told = states(found)
    assert [told[x] for x in ("thatch_removal", "core_aeration", "overseeding")] == [
        "done", "done", "next",
    ]  # fmt: skip
    # It was one step of two, and the work has gone on: nobody mows across open holes.
    assert told["low_mow"] == "done"
    assert found.step("core_aeration").done_on == (dt.date(2026, 9, 6),)
    assert found.done == 3


def test_open_holes_want_their_seed_within_the_week(renovation) -> None:
    found = renovation(dt.date(2026, 9, 10), *PREPARED)
    seed = found.step("overseeding")
    assert seed.date is not None
    # The item says 15 September; the holes of the 6th close a week later.
    assert seed.last == min(seed.date.day, dt.date(2026, 9, 13))


def test_after_the_seed_comes_its_care(renovation) -> None:
    found = renovation(dt.date(2026, 9, 9), *WATERED)
    assert found.heart_on == dt.date(2026, 9, 7)
    told = states(found)
    assert [told[x] for x in ("low_mow", "overseeding", "seedling_watering")] == [
        "done", "done", "partly",
    ]  # fmt: skip
    assert told["mowing"] == told["feeding"] == "waits"
    mowing, feeding = found.step("mowing"), found.step("feeding")
    assert mowing.first == dt.date(2026, 9, 28)
    # A month after the seed at the soonest, and not before the advice releases it.
    assert feeding.date is not None
    assert feeding.waits[0].until == feeding.first == feeding.date.day
    assert feeding.first >= dt.date(2026, 10, 7)


def test_brought_through_with_the_third_cut(renovation) -> None:
    on = dt.date(2026, 10, 25)
    begun = renovation(on, *FED)
    assert (begun.state, states(begun)["mowing"]) == ("under_way", "partly")
    assert states(begun)["feeding"] == states(begun)["seedling_watering"] == "done"
    assert begun.done == len(begun.counted) - 1


def test_all_of_it_done(renovation) -> None:
    found = renovation(dt.date(2026, 10, 25), *THROUGH)
    assert (found.state, found.done, found.next) == ("brought_through", len(found.counted), None)


def test_a_feed_whose_season_comes_late_still_belongs_to_it(renovation) -> None:
    """The early feed is over by mid-October here; the late one comes within the two months."""
    sown = "r83,2026-09-15,work,overseeding,,front,invented"
    found = renovation(dt.date(2026, 10, 22), *PREPARED, sown)
    feeding = found.step("feeding")
    assert (feeding.state, feeding.waits[0].kind) == ("waits", "season")
    assert feeding.date is not None
    assert feeding.first == feeding.date.day


def test_an_order_that_has_no_day_left_says_so(renovation) -> None:
    """Lines that are asked for on the 12th are marked on the 17th; the seed is due on the 15th."""
    found = renovation(dt.date(2026, 9, 12), *PREPARED[:2])
    cores, seed = found.step("core_aeration"), found.step("overseeding")
    assert cores.first is not None
    assert seed.date is not None
    assert cores.first > seed.date.day
    assert not found.fits
    assert standing_json(found)["fits"] is False


def test_what_was_not_done_before_the_seed_is_over(renovation) -> None:
    found = renovation(dt.date(2026, 9, 9), SOWN[0], SOWN[1], SOWN[3])
    cores = found.step("core_aeration")
    assert (cores.state, cores.why) == ("left_out", "passed")


def test_half_of_the_seed_is_cared_for_and_half_is_still_to_be_sown(renovation) -> None:
    half = "r83,2026-09-07,work,overseeding,share=50 %,front,invented"
    found = renovation(dt.date(2026, 9, 8), *PREPARED, half)
    assert states(found)["overseeding"] == "partly"
    assert states(found)["seedling_watering"] == "next"


def test_the_sowing_of_an_earlier_year_is_no_part_of_this_one(renovation) -> None:
    old = [line.replace("2026-", "2024-") for line in SOWN]
    found = renovation(DEMO_DAY, *old)
    assert found.state == "due"
    assert not any(step.done_on for step in found.steps)


def test_parts_stand_apart(tmp_path: Path, book: RuleBook) -> None:
    case = lawn_of(tmp_path, book, dt.date(2026, 9, 9), *WATERED)
    back = standing(case, "renovation", "back")
    assert back is not None
    assert back.state == "unsure"
    assert back.done == 0
    advice = Advice(case)
    for part in advice.parts:
        one = standings(advice, part)
        assert {s.part.label for s in one} <= {part.label}
        assert [s for s in standings(advice) if s.part.label == part.label] == list(one)


def test_a_kept_plan_is_planned(tmp_path: Path, book: RuleBook) -> None:
    made = dt.date(2026, 8, 20)
    site = write_demo(tmp_path)
    keep_plan(compose_workplan(Advice(open_case(site, book, made)), DEMO_DAY, 3), site)
    advice = Advice(open_case(site, book, made))
    assert advice.plan is not None
    found = next(s for s in standings(advice) if s.programme.id == "renovation")
    planned = {step.job: step for step in found.steps if step.state == "planned"}
    assert "overseeding" in planned
    for job, step in planned.items():
        day = advice.plan.day_of(job)
        assert step.date is not None
        assert step.date.day == step.first == day, job


@pytest.mark.parametrize(
    ("cause", "wish", "heart"),
    [
        ("dog", "patch_repair", "patch_repair"),
        ("digging", "overseeding", "overseeding"),
        ("pests", "overseeding", "overseeding"),
    ],
)
def test_damage_by_its_cause(
    cause: str, wish: str, heart: str, tmp_path: Path, book: RuleBook
) -> None:
    noted = (
        f"r80,2026-08-30,observation,patch_cause,{cause},back,invented",
        f"r81,2026-08-30,wish,{wish},yes,back,invented",
    )
    found = standing(lawn_of(tmp_path, book, DEMO_DAY, *noted), "after_damage", "back")
    assert found is not None
    named = {"dog": "dog", "digging": "builders", "pests": "grubs"}[cause]
    assert found.causes == (named,)
    assert found.step(heart).state != "left_out"
    assert ("grubs" in states(found)) == (named == "grubs")
    assert ("topdressing" in states(found)) == (named == "builders")


def test_the_cause_is_remembered_when_the_work_has_made_its_note_void(
    tmp_path: Path, book: RuleBook
) -> None:
    lines = (
        "r80,2026-08-30,observation,patch_cause,dog,back,invented",
        "r81,2026-08-30,wish,patch_repair,yes,back,invented",
        "r82,2026-09-10,work,patch_repair,,back,invented",
    )
    case = lawn_of(tmp_path, book, dt.date(2026, 9, 14), *lines)
    found = standing(case, "after_damage", "back")
    assert found is not None
    assert (found.state, found.causes, found.heart_on) == (
        "under_way", ("dog",), dt.date(2026, 9, 10),
    )  # fmt: skip
    assert found.step("seedling_watering").state == "next"


def test_spring_begins_anew_at_midwinter(tmp_path: Path, book: RuleBook) -> None:
    cut = "r80,2025-12-10,work,mowing,,front,invented"
    case = lawn_of(tmp_path, book, dt.date(2026, 4, 28), cut)
    found = standing(case, "spring_start")
    assert found is not None
    assert found.step("mowing").done_on == ()
    assert standing(replace(case, on=DEMO_DAY), "spring_start") is None


def allowed(step: Step, item: Item) -> bool:
    """What a state may say of a verdict: it is never kinder than the advice."""
    verdicts = {
        "next": {"do"},
        "planned": {"do", "wait", "measure"},
        "waits": {"do", "wait", "measure", "hold", "ruled_out", "missed"},
        "left_out": {"not_needed", "ruled_out", "missed", "do", "hold", "measure", "wait"},
    }
    return step.state not in verdicts or item.verdict in verdicts[step.state]


def consistent(advice: Advice) -> int:
    """How many steps were held against the advice."""
    seen = 0
    for found in standings(advice):
        jobs = [step.job for step in found.steps]
        assert len(jobs) == len(set(jobs))
        assert any(step.heart and step.state != "left_out" for step in found.steps)
        for step in found.steps:
            item = advice.item(step.job, found.part)
            seen += 1
            assert step.item == item
            assert step.date == item.date
            assert allowed(step, item), (found.programme.id, step.job, step.state, item.verdict)
            if step.state == "next":
                assert not item.off, step.job
                assert not [gate for gate in advice.gates_of(item) if gate.state != "met"]
            if step.state == "waits":
                assert step.waits, step.job
            if step.state == "left_out":
                assert step.why is not None, step.job
            assert all(day <= advice.on for day in step.done_on)
        assert found.done <= len(found.counted)
        told = json.loads(json.dumps(standing_json(found)))
        assert (told["done"], told["of"]) == (found.done, len(found.counted))
        assert [step["state"] for step in told["steps"]] == [step.state for step in found.steps]
    return seen


@pytest.mark.sample(5)
@pytest.mark.parametrize("on", DAYS, ids=str)
def test_it_never_speaks_against_the_advice(on: dt.date, tmp_path: Path, book: RuleBook) -> None:
    assert consistent(Advice(lawn_of(tmp_path, book, on, *THROUGH)))


GRASSES = sorted(path for path in read_rulebook().grasses)


@pytest.mark.slow
@pytest.mark.sample(4)
@pytest.mark.parametrize("grass", GRASSES)
def test_on_each_grass(grass: str, tmp_path: Path, book: RuleBook) -> None:
    wishes = [
        f"r9{i},2026-03-01,wish,{job},yes,,invented"
        for i, job in enumerate(("overseeding", "patch_repair", "topdressing"))
    ]
    hard = "r99,2026-04-01,observation,soil_firmness,hard,,invented"
    case = lawn_of(tmp_path, book, DEMO_DAY, *wishes, hard)
    seen = set()
    for on in (dt.date(2026, 4, 10), dt.date(2026, 6, 10), DEMO_DAY):
        day = replace(case, on=on)
        advice = Advice(day, parts_on(day, grass))
        consistent(advice)
        for found in standings(advice):
            assert grass in found.programme.grasses
            seen.add(found.programme.id)
    assert "spring_start" in seen
    warm = book.grasses[grass].traits["season_type"] == "warm"
    assert ("warm_renovation" if warm else "renovation") in seen
