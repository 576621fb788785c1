"""The demo's work plan within the limits that its site file sets."""

from __future__ import annotations

import datetime as dt
from pathlib import Path

import pytest

from advisor.advice.book import Advice
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.planning.workplan import WorkPlan, compose_workplan
from advisor.render.sheets.workplan_pages import workplan_html, workplan_json, workplan_text
from advisor.rulebook.read_rulebook import read_rulebook

ON, SATURDAY, SUNDAY = (dt.date(2026, 9, day) for day in (5, 12, 13))


def planned(
    folder: Path, limits: str = "", *, first_time: bool = False, block: str = "4 h"
) -> WorkPlan:
    site = write_demo(folder)
    file = site / "site.yaml"
    text = file.read_text(encoding="utf-8").replace("block: 4 h", f"block: {block}")
    if first_time:
        text = text.replace("width: 19 in}", "width: 19 in, first_time: yes}")
    file.write_text(f"{text}limits:\n{limits}" if limits else text, encoding="utf-8")
    return compose_workplan(Advice(open_case(site, read_rulebook(), ON)), SATURDAY, 2)


def told(plan: WorkPlan) -> str:
    return " ".join(workplan_text(plan).split())


def test_both_machines_in_one_trip_with_clock_times_in_every_form(tmp_path: Path) -> None:
    plan = planned(tmp_path, block="6 h")
    fetch, bring = plan.plan.errands
    assert set(fetch.machines) == set(bring.machines) == {"vertical_mower", "core_aerator"}
    assert fetch.date == bring.date == SATURDAY
    for said in (told(plan), workplan_html(plan)):
        assert "Fetch and learn: vertical mower or power rake and core aerator" in said
        assert "Clean, load and return: vertical mower or power rake and core aerator" in said
    data = workplan_json(plan)
    assert [e["does"] for e in data["days"][0]["errands"]] == ["fetch", "return"]
    assert data["totals"]["errands"] == sum(e.end - e.start for e in plan.plan.errands)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("limits", "job", "because", "says"),
    [
        ("  hire: 80\n", "core_aeration", ("hire",), "may not cost more than 80 USD"),
        ("  lifting: no\n", "core_aeration", ("lifting",), "you must not lift"),
        ("  machines: no\n", "low_mow", ("machines",), "you work by hand alone"),
        ("  engines: [10:00 to 10:30]\n", "core_aeration", ("engines",), "may not be heard"),
        ("  shop: [sunday 08:00 to 08:30]\n", "thatch_removal", ("shop",), "shop is not open"),
        ("  work: [14:00 to 16:00]\n", "core_aeration", ("work",), "the hours that you have"),
        ("  away: [2026-09-12 to 2026-09-13]\n", "overseeding", ("away",), "nobody is there"),
        (
            "  hired_on: [{kind: core_aerator, days: [2026-09-19]}]\n",
            "core_aeration", ("hired_on",), "not to be had then",
        ),
        ("  hire: 80\n  lifting: no\n", "thatch_removal", ("lifting",), "you must not lift"),
        ("  hire: 80\n  lifting: no\n", "core_aeration", ("lifting", "hire"), "and the hire may"),
    ],
)  # fmt: skip
def test_what_a_limit_cuts_off_is_told_with_the_limit_and_the_cost(
    tmp_path: Path, limits: str, job: str, because: tuple[str, ...], says: str
) -> None:
    plan = planned(tmp_path, limits)
    cut = {cut.item.operation.id: cut for cut in plan.cuts}[job]
    assert cut.because == because
    assert says in told(plan)
    assert cut.costs in told(plan)
    named = {each["operation"]: each["because"] for each in workplan_json(plan)["cuts"]}
    assert named[job] == list(because)
    assert told(plan).count("given up first") == 1


def test_a_helper_who_loads_brings_a_machine_back_into_the_plan(tmp_path: Path) -> None:
    alone = planned(tmp_path / "alone", "  lifting: no\n")
    both = planned(tmp_path / "both", "  lifting: no\n  helpers: [saturday 08:00 to 16:00]\n")
    assert not alone.plan.errands
    assert {errand.people for errand in both.plan.errands} == {2}
    assert "(at the shop about" in told(both)


def test_nobody_to_water_is_told_before_the_work(tmp_path: Path) -> None:
    plan = planned(tmp_path, "  away: [2026-09-20 to 2026-10-31]\n")
    (each,) = plan.unwatered
    sown = each.sown
    assert (each.first, each.last) == (dt.date(2026, 9, 20), sown + dt.timedelta(days=21))
    page = told(plan)
    assert page.index("Overseeding (front): who waters") < page.index("SATURDAY")
    assert workplan_json(plan)["who_waters"][0]["from"] == "2026-09-20"
    later = planned(tmp_path / "later", "  away: [2026-10-05 to 2026-10-31]\n")
    assert later.unwatered == ()


def test_a_first_time_takes_half_as_long_again_until_a_time_is_noted(tmp_path: Path) -> None:
    def minutes(plan: WorkPlan) -> float:
        return sum(t.minutes for t in plan.tasks if t.operation == "core_aeration")

    usual, first = planned(tmp_path / "a"), planned(tmp_path / "b", first_time=True)
    assert usual.crew.blocks == first.crew.blocks
    assert minutes(first) == pytest.approx(1.5 * minutes(usual), abs=5)  # in whole fives
    folder = tmp_path / "b" / "site"
    with (folder / "journal.csv").open("a", encoding="utf-8") as journal:
        journal.write("r90,2025-09-14,work,core_aeration,took=55 min,front,\n")
    again = Advice(open_case(folder, read_rulebook(), ON))
    assert minutes(compose_workplan(again, SATURDAY, 2)) == 55
