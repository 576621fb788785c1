"""One item for each job on each part: the same whatever was asked first, with one date."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from advisor.advice.book import Advice
from advisor.advice.difference import difference
from advisor.advice.item import HEAVIEST_FIRST, Item
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import DEMO_DAY, write_demo
from advisor.planning.keep_plan import keep_plan
from advisor.planning.workplan import compose_workplan
from advisor.records.kept import earlier_of
from advisor.render.digest.week import compose_week
from advisor.render.digest.week_json import week_json
from advisor.rulebook.read_rulebook import read_rulebook

DAYS = [dt.date(2026, 1, 8) + dt.timedelta(days=15 * n) for n in range(17)]


@pytest.fixture(scope="module")
def lawn(tmp_path_factory: pytest.TempPathFactory) -> Case:
    return open_case(write_demo(tmp_path_factory.mktemp("demo")), read_rulebook(), DEMO_DAY)


def told(item: Item) -> tuple[object, ...]:
    return item.key, item.verdict, item.date, item.weight, item.starts, item.taken_up


def test_an_item_is_the_same_whatever_was_asked_first(lawn: Case) -> None:
    forwards, backwards = Advice(lawn), Advice(lawn)
    first = {item.key: told(item) for item in forwards.items()}
    asked = [
        backwards.item(id, part)
        for part in reversed(backwards.parts)
        for id in reversed(part.decider.operations())
    ]
    assert {item.key: told(item) for item in asked} == first
    alone = {}
    for part in Advice(lawn).parts:
        for id in part.decider.operations():
            one = Advice(lawn)
            (same,) = (p for p in one.parts if p.label == part.label)
            alone[id, part.label] = told(one.item(id, same))
    assert alone == first


@pytest.mark.sample(5)
@pytest.mark.parametrize("on", DAYS, ids=str)
def test_each_date_is_of_its_kind(on: dt.date, lawn: Case) -> None:
    advice = Advice(replace(lawn, on=on))
    for item in advice.items():
        date = item.date
        if date is None:
            continue
        assert date.day >= on, item.key
        if item.goes_on:
            assert date.kind in ("routine", "opening", "release", "sign"), item.key
        if date.kind == "deadline":
            assert item.verdict in ("do", "measure", "hold")
            assert item.decision.outlook.state == "open"
        if date.kind == "opening":
            assert item.verdict in ("wait", "missed")
        if date.kind == "release":
            assert item.decision.conflicts


@pytest.mark.sample(5)
@pytest.mark.parametrize("on", DAYS, ids=str)
def test_the_best_days_lie_in_the_season(on: dt.date, lawn: Case) -> None:
    advice = Advice(replace(lawn, on=on))
    for item in advice.items():
        season = advice.season(item)
        if season is None or season.best is None:
            continue
        possible, best = season.possible, season.best
        for ours in (best.opens, best.closes):
            assert ours.p10 <= ours.p50 <= ours.p90
        assert best.opens.p50 >= possible.opens.p50
        assert best.years <= possible.years
        assert best.closes.p50 >= best.opens.p50


def test_work_before_seed_is_due_no_later_than_the_seed(lawn: Case) -> None:
    """Cores and thatch come before overseeding in the rule files, which close on later days."""
    advice = Advice(lawn)
    items = {item.key: item for item in advice.items()}
    seed = items["overseeding", "front"].date
    assert seed is not None
    for job in ("low_mow", "thatch_removal", "core_aeration"):
        date = items[job, "front"].date
        assert date is not None
        assert (date.kind, date.day <= seed.day) == ("deadline", True)
    cores = items["core_aeration", "front"]
    assert cores.decision.by is not None
    assert cores.date is not None
    assert (cores.date.sake, cores.date.day) == ("overseeding", min(cores.decision.by, seed.day))


def test_what_costs_most_comes_first(lawn: Case) -> None:
    items = sorted(Advice(lawn).items(), key=Item.order)
    needed = [item for item in items if item.sure]
    assert needed == items[: len(needed)]
    weights = [HEAVIEST_FIRST.index(item.weight) for item in needed]
    assert weights == sorted(weights)
    # Tools can wait until winter; a season's chance to sow cannot (rules/operations).
    keys = [item.operation.id for item in needed]
    assert keys.index("overseeding") < keys.index("tool_care")


def test_a_day_that_is_settled_is_an_appointment(tmp_path: Path) -> None:
    site, made = write_demo(tmp_path), dt.date(2026, 8, 20)
    before = Advice(open_case(site, read_rulebook(), made))
    keep_plan(compose_workplan(before, DEMO_DAY, 3), site)
    advice = Advice(open_case(site, read_rulebook(), made))
    (front,) = (part for part in advice.parts if part.label == "front")
    item = advice.item("overseeding", front)
    assert item.date is not None
    assert advice.plan is not None
    assert (item.date.kind, item.date.day) == ("appointment", advice.plan.day_of("overseeding"))


def test_a_kept_week_of_either_form_tells_what_changed(lawn: Case) -> None:
    earlier = compose_week(replace(lawn, on=DEMO_DAY - dt.timedelta(days=7)))
    data = week_json(earlier)
    now = Advice(lawn).items()
    changed = {change.item.key for change in difference(now, earlier_of(data))}
    assert ("core_aeration", "front") in changed
    # The first form had an answer in each list, with its window.
    names = ("do", "hold", "wait", "coming", "measure", "leave", "missed")
    by_key = {(i["job"], i["part"]): i for i in data["items"]}
    first = {"format": 1} | {
        name: [
            {
                "operation": key["job"],
                "area": key["part"],
                "verdict": by_key[key["job"], key["part"]]["verdict"],
                "window": (by_key[key["job"], key["part"]]["season"] or {}).get("possible"),
                "reasons": by_key[key["job"], key["part"]]["reasons"],
            }
            for key in data[name]
        ]
        for name in names
    }
    assert {change.item.key for change in difference(now, earlier_of(first))} == changed
    assert not difference(now, earlier_of(week_json(compose_week(lawn))))
