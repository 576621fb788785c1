"""A plan that the keeper settles on: digest, year and calendar follow it."""

from __future__ import annotations

import datetime as dt
import re
from pathlib import Path

import pytest
import vobject

from advisor.advice.book import Advice
from advisor.base.problems import BadInput
from advisor.base.working_days import is_working_day
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.planning.keep_plan import keep_plan
from advisor.planning.workplan import compose_workplan
from advisor.records.kept import (
    PLAN_FILE,
    KeptPlan,
    PlannedDay,
    is_on,
    read_plan,
    write_plan,
)  # fmt: skip
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.render import digest_html, digest_text
from advisor.render.yearly.calendar_feed import write_calendar
from advisor.render.yearly.pages import year_html, year_text
from advisor.render.yearly.year import compose_year
from advisor.rulebook.read_rulebook import read_rulebook

MADE = dt.date(2026, 8, 20)
SATURDAY = dt.date(2026, 9, 5)


@pytest.fixture
def site(tmp_path: Path) -> Path:
    return write_demo(tmp_path)


def opened(site: Path, on: dt.date = MADE) -> Case:
    return open_case(site, read_rulebook(), on)


def settle(site: Path, first: dt.date = SATURDAY) -> None:
    keep_plan(compose_workplan(Advice(opened(site)), first, 3), site)


def test_what_is_kept_is_what_was_planned(site: Path) -> None:
    settle(site)
    plan = read_plan(site)
    assert plan is not None
    assert plan.first == SATURDAY
    assert plan.day_of("thatch_removal") == SATURDAY
    assert plan.sown is not None
    assert plan.ends == plan.sown + dt.timedelta(days=21)
    # It is not told before it was made, nor after the seed has been watered.
    assert opened(site, MADE - dt.timedelta(days=1)).plan is None
    assert opened(site).plan == opened(site, plan.ends).plan == plan
    assert opened(site, plan.ends + dt.timedelta(days=1)).plan is None


def test_leads_count_back_from_the_chosen_day(site: Path) -> None:
    """811 asks for two to three business days; the chosen Saturday stands above the next one."""
    on = dt.date(2026, 8, 25)
    before = digest_text(compose_edition(opened(site, on)).digest)
    assert "for work on Saturday 5 Sep" not in " ".join(before.split())
    settle(site)
    digest = compose_edition(opened(site, on)).digest
    marked = [line.says for line in digest.gates if "lines to be marked" in line.says]
    plan = opened(site, on).plan
    assert plan is not None
    # A block of four hours holds one of the machines and its ways, not both: two trips.
    assert plan.day_of("thatch_removal") == dt.date(2026, 9, 5)
    assert plan.day_of("core_aeration") == dt.date(2026, 9, 6)
    assert any("By 2 Sep" in says and "Sunday 6 Sep" in says for says in marked)
    days = [dt.date(2026, 9, day) for day in (2, 3, 4)]
    assert all(is_working_day(day, "US", "OH") for day in days)
    assert digest.plan[0].startswith("Saturday 5 Sep, 09:00 to ")
    # What is settled for a later week is not told as this week's.
    assert [task.when for task in digest.tasks] == ["planned for Sunday 6 Sep"]
    assert digest.lead == "As planned: overseeding, on Sunday 6 Sep."
    assert "waters the seed" in digest.plan[-1]
    assert "NEXT, AS YOU PLANNED" in digest_text(digest)
    assert "Next, as you planned" in digest_html(digest)


def test_days_that_are_over_are_not_told_again(site: Path) -> None:
    settle(site)
    digest = compose_edition(opened(site, dt.date(2026, 9, 9))).digest
    assert len(digest.plan) == 1
    assert digest.plan[0].startswith("From Wednesday 9 Sep")


def test_year_and_calendar_hold_the_plan(site: Path, tmp_path: Path) -> None:
    settle(site)
    year = compose_year(Advice(opened(site)))
    assert "YOUR PLAN" in year_text(year)
    assert "Your plan" in year_html(year)
    file = tmp_path / "lawn.ics"
    write_calendar(year, file, site)
    read = vobject.readOne(file.read_text(encoding="utf-8")).vevent_list
    work = [e for e in read if e.summary.value == "Lawn work"]
    # 09:00 in Ohio in summer is 13:00 in UTC (IANA time zone data).
    assert work[0].dtstart.value == dt.datetime(2026, 9, 5, 13, tzinfo=dt.UTC)
    assert work[0].dtend.value > work[0].dtstart.value
    assert "Mind: " in work[0].description.value
    rings = work[0].dtstart.value + work[0].valarm.trigger.value
    assert rings == dt.datetime(2026, 9, 4, 22, tzinfo=dt.UTC)
    (water,) = (e for e in read if e.summary.value == "Water the new seed")
    sown = max(e.dtstart.value.date() for e in work)
    assert water.dtstart.value == sown + dt.timedelta(days=1)


def test_a_plan_that_moves_leaves_no_event_behind(site: Path, tmp_path: Path) -> None:
    file = tmp_path / "lawn.ics"
    settle(site)
    write_calendar(compose_year(Advice(opened(site))), file, site)
    settle(site, SATURDAY + dt.timedelta(days=1))
    write_calendar(compose_year(Advice(opened(site))), file, site)
    starts = [
        e.dtstart.value.date()
        for e in vobject.readOne(file.read_text(encoding="utf-8")).vevent_list
        if e.summary.value == "Lawn work"
        and getattr(getattr(e, "status", None), "value", "") != "CANCELLED"
    ]
    assert SATURDAY not in starts
    assert starts


@pytest.mark.parametrize(
    "text", ["", "{}", '{"format": 2}', '{"format": 1, "made": "x", "days": []}']
)
def test_a_damaged_plan_is_named(site: Path, text: str) -> None:
    (site / PLAN_FILE).write_text(text, encoding="utf-8")
    with pytest.raises(BadInput, match=r"plan\.json: the kept plan cannot be read"):
        compose_edition(opened(site))


def test_a_plan_without_work_is_not_kept(site: Path) -> None:
    rain = [SATURDAY + dt.timedelta(days=n) for n in range(3)]
    with pytest.raises(BadInput, match="holds no work"):
        keep_plan(compose_workplan(Advice(opened(site)), SATURDAY, 3, rain=rain), site)


def test_only_a_kept_plan_feeds_verdicts(site: Path) -> None:
    """Seed comes first (rules/operations/feeding.yaml): once its day is settled, feed waits."""

    def gives_way() -> bool:
        advice = Advice(opened(site, SATURDAY))
        (part,) = (part for part in advice.parts if part.label == "back")
        return advice.item("feeding", part).aside is not None

    plan = compose_workplan(Advice(opened(site)), SATURDAY, 3, only=["overseeding"])
    assert any(plan.by_id[s.task].area == "back" for s in plan.plan.slots)
    # A proposed plan changes nothing.
    assert not gives_way()
    keep_plan(plan, site)
    assert gives_way()


def test_a_plan_for_two_areas_is_a_plan_for_each(site: Path) -> None:
    """Areas of one grass are one part until the journal tells them apart; a plan outlives that."""
    assert is_on("front and side", ["side"])
    assert is_on("front and side", ["front", "side"])
    assert is_on("lawn", ["side"])
    assert not is_on("front", ["side"])
    path = site / "site.yaml"
    text = path.read_text(encoding="utf-8")
    more = "  - {name: side, size: 1000 ft2, sun: full, slope: flat}\n  - name: back\n"
    path.write_text(text.replace("  - name: back\n", more), encoding="utf-8")
    rows = (site / "journal.csv").read_text(encoding="utf-8").splitlines()
    apart = [row for row in rows if ",front," not in row and ",back," not in row]
    (site / "journal.csv").write_text("\n".join(apart) + "\n", encoding="utf-8")
    saturday = PlannedDay(SATURDAY, 540, 720, (("core_aeration", "front and side"),))
    write_plan(site, KeptPlan(MADE, (saturday,)))

    def appointed() -> dict[str, dt.date | None]:
        advice = Advice(opened(site))
        found = {part.label: advice.item("core_aeration", part) for part in advice.parts}
        return {label: item.appointed for label, item in found.items()}

    assert appointed() == {"front and side": SATURDAY, "back": None}
    told = "r90,2026-08-17,observation,soil_firmness,hard,side,\n"
    with (site / "journal.csv").open("a", encoding="utf-8") as file:
        file.write(told)
    assert appointed() == {"front": SATURDAY, "side": SATURDAY, "back": None}


def test_what_is_shut_out_later_loses_its_hour(site: Path) -> None:
    settle(site)
    with (site / "journal.csv").open("a", encoding="utf-8") as file:
        file.write("r90,2026-08-20,wish,overseeding,no,,\n")
    advice = Advice(opened(site))
    assert advice.plan is not None
    assert not any(id == "overseeding" for day in advice.plan.days for id, _ in day.work)
    assert advice.plan.sown is None
    text = " ".join(digest_text(compose_edition(opened(site)).digest).split())
    assert re.search(r"No overseeding \(front\) on \w+ \d Sep: not needed", text)
    assert "waters the seed" not in text
