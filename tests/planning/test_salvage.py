"""What a plan says when weather breaks it, against the rule files read plainly, day by day.

For each operation that has steps and each kind of weather that interrupts it: the next day named
must be free, its season open and its readiness not refused in at least half of the years, where
season and readiness are judged here with the plain tracer on that day's numbers, not with the
planner's arrays; and no sooner free day may be as good.
"""

from __future__ import annotations

import datetime as dt

import numpy as np
import pytest

from advisor.advice.book import Advice
from advisor.base.paths import data_folder
from advisor.base.record import replace
from advisor.base.strict_yaml import load_file
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.cases.parts import parts_on
from advisor.decide.engine.plain import truth
from advisor.decide.verdicts.decide import Decider
from advisor.decide.windows.tracks import tracks
from advisor.demo.scenario import write_demo
from advisor.planning.check_plan import plan_faults
from advisor.planning.fit_days import COLD_DAY_C, HOT_DAY_C, WET_DAY_MM
from advisor.planning.make_plan import make_plan
from advisor.planning.timetable import Crew, Task
from advisor.planning.work_days import HOT_UNTIL, work_days
from advisor.planning.workplan import WorkPlan, compose_workplan
from advisor.rulebook.conditions import facts_of
from advisor.rulebook.read_rulebook import read_rulebook

SATURDAY = dt.date(2026, 9, 5)
STEPS = tuple(load_file(data_folder("rules") / "work.yaml").data["steps"])
WEATHER = {"rain on the first day": [0], "rain on the second": [1], "rain throughout": [0, 1, 2]}


@pytest.fixture(scope="module")
def lawn(tmp_path_factory: pytest.TempPathFactory) -> Case:
    site = write_demo(tmp_path_factory.mktemp("demo"))
    with (site / "journal.csv").open("a", encoding="utf-8") as journal:
        # So that work which breaks the soil may have an hour.
        journal.write("r90,2026-09-04,observation,lines_marked,yes,,\n")
    return open_case(site, read_rulebook())


def share_of_years(plan: WorkPlan, operation: str, date: dt.date) -> float:
    """In how many years the operation could be done on a date, by the rule file and the weather.

    On the part of the lawn where it can be done least often.
    """
    parts = [w.part.decider for w in plan.items if w.operation.id == operation]
    return min(share_on(decider, operation, date) for decider in parts)


def share_on(decider: Decider, operation: str, date: dt.date) -> float:
    """The same for one part."""
    facts = decider.day.weather
    assert facts is not None
    day = facts.axis.index(date)
    rule = decider.resolved(operation)
    columns = facts.axis.columns
    good = known = 0
    found = [t for window in rule.windows for t in tracks(window, facts, decider.site_values)]
    for year in range(facts.axis.shape[0]):
        at = [t for t in found if t.first <= day < t.last]
        if any(not t.found.certain[year] for t in at):
            continue
        known += 1
        values = {}
        for name in facts_of(rule.ready):
            if decider.book.vocabulary[name].varies == "weather" and name != "soil_moisture_share":
                number = float(facts.series(name)[year, day])
                flag = decider.book.vocabulary[name].kind == "flag"
                values[name] = None if np.isnan(number) else bool(number) if flag else number
            elif name in decider.site_values:
                values[name] = decider.day.facts[name].value
            else:
                values[name] = None
        is_open = any(
            t.found.opened[year] and t.found.opens[year] <= day < t.found.closes[year] for t in at
        )
        dry = not columns["rain_mm"][year, day] > WET_DAY_MM
        mild = COLD_DAY_C <= columns["air_max_c"][year, day] <= HOT_DAY_C
        good += bool(is_open and dry and mild and truth(rule.ready, values) is not False)
    return good / known if known else 0.0


@pytest.mark.sample(6)
@pytest.mark.parametrize("weather", sorted(WEATHER))
@pytest.mark.parametrize("operation", STEPS)
def test_the_next_day_agrees_with_the_rule_file(operation: str, weather: str, lawn: Case) -> None:
    rain = [SATURDAY + dt.timedelta(days=n) for n in WEATHER[weather]]
    plan = compose_workplan(
        Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3, rain=rain, only=[operation]
    )
    assert not any(slot.date in rain for slot in plan.plan.slots)
    if operation not in plan.next_days:
        # Not wanted on this lawn, or kept off by another job: then it says why, or is not needed.
        decisions = [p.decider.decide(operation) for p in parts_on(replace(lawn, on=SATURDAY))]
        kept = [left for left in plan.left if left.item.operation.id == operation]
        assert all(left.why for left in kept)
        assert kept or all(d.judgement.truths["need"] is False for d in decisions)
        return
    found = plan.next_days[operation]
    sooner = [SATURDAY + dt.timedelta(days=3 + n) for n in range(42)]
    free = [day for day in sooner if day.weekday() >= 5]
    if found is None:
        assert all(share_of_years(plan, operation, day) < 0.5 for day in free[:4])
        return
    assert found.date in free or found.date == dt.date(2026, 10, 12)  # Columbus Day
    assert share_of_years(plan, operation, found.date) == pytest.approx(found.chance)
    assert found.chance >= 0.5
    for day in free:
        if day < found.date:
            assert share_of_years(plan, operation, day) < 0.5


@pytest.mark.parametrize("operation", STEPS)
def test_every_step_says_what_holds_if_you_stop(operation: str, lawn: Case) -> None:
    plan = compose_workplan(Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3, only=[operation])
    assert all(step.stop for step in plan.work.steps[operation])


def test_seed_is_never_left_half_sown(lawn: Case) -> None:
    """Spread, covered and watered on one day, or not begun, whatever days are lost to rain."""
    for lost in ([0], [1], [2], [0, 1], [0, 2], [1, 2]):
        rain = [SATURDAY + dt.timedelta(days=n) for n in lost]
        plan = compose_workplan(Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3, rain=rain)
        done: dict[str, set[str]] = {}
        for slot in plan.plan.slots:
            task = plan.by_id[slot.task]
            if task.operation == "overseeding":
                done.setdefault(f"{task.area} {slot.date}", set()).add(task.title)
        assert all(len(titles) == 3 for titles in done.values())


@pytest.mark.parametrize(("high", "note", "fit"), [(-1.0, "frost", False), (35.0, "hot", True)])
def test_frost_and_heat_of_the_days_themselves(
    high: float, note: str, fit: bool, lawn: Case
) -> None:
    """Frost forbids the day; heat ends work at noon, so that every task of it is done by then."""
    facts = parts_on(replace(lawn, on=SATURDAY))[0].decider.day.weather
    assert facts is not None
    facts.axis.columns["air_max_c"][:, facts.axis.index(SATURDAY)] = high
    (day,) = work_days(lawn.site, [SATURDAY], facts)
    assert note in day.note
    assert day.fit is fit
    assert day.end <= HOT_UNTIL or not fit
    tasks = [Task("core", "core_aeration", "front", "core", minutes=100, met=6.0)]
    plan = make_plan(tasks, [day], Crew(1))
    assert plan_faults(plan, tasks, [day], Crew(1)) == []
    assert bool(plan.slots) is fit
    assert all(slot.end <= HOT_UNTIL for slot in plan.slots)
