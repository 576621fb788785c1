"""No hour for a step that breaks the soil without its gate, on any lawn, day and record.

The oracle knows nothing of the planner: notice is counted with numpy's business days and the
federal holidays of 5 U.S.C. 6103(a) by hand, and records are read off the lines that were written.
"""

from __future__ import annotations

import datetime as dt
import json
import random
import re
from dataclasses import dataclass
from pathlib import Path

import html5lib
import numpy as np
import pytest

from advisor.advice.book import Advice
from advisor.advice.gates import Gates, of_plan
from advisor.base.record import replace
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.demo.scenario import write_demo
from advisor.planning.check_plan import plan_faults
from advisor.planning.keep_plan import keep_plan
from advisor.planning.make_plan import make_plan
from advisor.planning.plan_words import plan_lines
from advisor.planning.shopping import compose_shopping
from advisor.planning.timetable import Crew, Task, WorkDay
from advisor.planning.workplan import WorkPlan, compose_workplan
from advisor.records.kept import KeptPlan, PlannedDay, read_plan, write_plan
from advisor.render.digest.edition import compose_edition
from advisor.render.digest.render import digest_html, mail_html
from advisor.render.sheets.amounts_pages import amounts_html
from advisor.render.sheets.workplan_pages import workplan_html, workplan_json, workplan_text
from advisor.render.yearly.pages import year_html
from advisor.render.yearly.year import compose_year
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

SATURDAY = dt.date(2026, 9, 5)
FEDERAL = ["2026-09-07", "2026-10-12", "2026-07-03"]
COUNTS = {"lines_marked": 10, "own_lines_flagged": 14, "lines_of_your_own": 1100}


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook()


@dataclass(frozen=True)
class Record:
    date: dt.date
    what: str
    yes: bool
    area: str


def written(rng: random.Random, on: dt.date) -> list[Record]:
    records = [
        Record(
            on - dt.timedelta(days=rng.randint(0, 20)),
            rng.choice([*COUNTS, "lines_marked"]),
            rng.random() < 0.7,
            rng.choice(["", "", "front", "back"]),
        )
        for _ in range(rng.randint(0, 4))
    ]
    return sorted(records, key=lambda record: record.date)


def lawn_with(records: list[Record], folder: Path, book: RuleBook) -> Case:
    site = write_demo(folder)
    with (site / "journal.csv").open("a", encoding="utf-8") as journal:
        for n, r in enumerate(records):
            value = "yes" if r.yes else "no"
            journal.write(f"x{n},{r.date},observation,{r.what},{value},{r.area},\n")
        # The back is cored, too, where it is hard.
        journal.write("x90,2026-08-17,observation,soil_firmness,hard,back,\n")
    return open_case(site, book)


def noted(records: list[Record], what: str, area: str, day: dt.date) -> bool | None:
    """What the newest record that still counts says of an area on a day."""
    known = [
        r.yes
        for r in records
        if r.what == what and r.area in ("", area) and (day - r.date).days <= COUNTS[what]
    ]
    return known[-1] if known else None


def may_have_an_hour(records: list[Record], area: str, on: dt.date, day: dt.date) -> bool:
    if noted(records, "lines_marked", area, day):
        return True
    last = np.busday_offset(day, -3, roll="forward", holidays=FEDERAL).astype(dt.date)
    return bool(last >= on)


def soil_slots(plan: WorkPlan) -> list[tuple[str, str, dt.date]]:
    found = []
    for slot in plan.plan.slots:
        task = plan.by_id[slot.task]
        step = next(s for s in plan.work.steps[task.operation] if s.title == task.title)
        if step.breaks_soil:
            found.append((task.operation, task.area, slot.date))
    return found


@pytest.mark.slow
@pytest.mark.sample(1)
@pytest.mark.parametrize("seed", range(7, 11))
def test_no_hour_without_its_gate(seed: int, book: RuleBook, tmp_path: Path) -> None:
    rng = random.Random(seed)
    given = barred = 0
    for n in range(15):
        on = SATURDAY - dt.timedelta(days=rng.randint(0, 9))
        first = on + dt.timedelta(days=rng.randint(0, 6))
        records = written(rng, on)
        lawn = lawn_with(records, tmp_path / str(n), book)
        plan = compose_workplan(Advice(replace(lawn, on=on)), first, rng.randint(1, 4))
        days = [day.date for day in plan.days]
        planned = soil_slots(plan)
        for _, area, day in planned:
            assert may_have_an_hour(records, area, on, day), (on, area, day, records)
        shown = {(g.operation, g.area, g.work) for g in plan.gates}
        assert set(planned) == shown
        for shut in plan.shut:
            area = shut.item.part.name
            assert not any(may_have_an_hour(records, area, on, day) for day in days)
            assert any(gate.state == "late" for gate in shut.gates)
        text = workplan_text(plan)
        told = json.loads(json.dumps(workplan_json(plan)))
        in_json = {(t["operation"], t["area"]) for d in told["days"] for t in d["tasks"]}
        for shut in plan.shut:
            assert (shut.item.operation.id, shut.item.part.name) not in in_json
            assert not re.search(rf"–\d\d:\d\d  {shut.item.part.name.title()}: pull cores", text)
        head = re.split(r"\d\d:\d\d–\d\d:\d\d", text)[0]
        assert ("STOP" in head) is bool(plan.shut)
        for gate in plan.gates:
            assert gate.rule.title in " ".join(head.split())
        given += bool(planned)
        barred += bool(plan.shut)
    assert min(given, barred) >= 2, (given, barred)


@pytest.mark.parametrize("on", [SATURDAY - dt.timedelta(days=n) for n in range(16)], ids=str)
def test_each_gate_agrees_with_the_count_by_hand(
    on: dt.date, book: RuleBook, tmp_path: Path
) -> None:
    gates = Gates(replace(lawn_with([], tmp_path, book), on=on))
    for ahead in range(20):
        day = on + dt.timedelta(days=ahead)
        public, own = gates.of(book.operations["core_aeration"], "front", day)
        last = np.busday_offset(day, -3, roll="forward", holidays=FEDERAL).astype(dt.date)
        assert public.by == last
        assert public.state == ("open" if last >= on else "late")
        assert own.state == "open"
        assert public.earliest <= day or public.state == "late"
        assert (public.earliest <= day) is (public.state == "open")
    assert gates.of(book.operations["thatch_removal"], "front", on) == ()
    (hand,) = gates.of(book.operations["patch_repair"], "", on)
    assert hand.rule.id == "own_lines"


def test_ontario_asks_for_five_days(book: RuleBook, tmp_path: Path) -> None:
    """Towns of Ontario: five business days. Labour Day is the first Monday of September."""
    site = write_demo(tmp_path)
    text = (site / "site.yaml").read_text(encoding="utf-8")
    text = text.replace("country: US", "country: CA").replace(
        "subdivision: OH", '"subdivision": "ON"'
    )
    (site / "site.yaml").write_text(text, encoding="utf-8")
    gates = Gates(open_case(site, book, SATURDAY))
    public, _ = gates.of(book.operations["core_aeration"], "front", dt.date(2026, 9, 15))
    assert public.days == 5
    assert public.by == dt.date(2026, 9, 8)
    assert public.earliest == dt.date(2026, 9, 15)


def test_a_kept_plan_loses_its_hour_when_notice_runs_out(book: RuleBook, tmp_path: Path) -> None:
    lawn = lawn_with([], tmp_path, book)
    made, site = dt.date(2026, 8, 20), Path(lawn.name)
    keep_plan(compose_workplan(Advice(replace(lawn, on=made)), SATURDAY, 3), site)
    plan = read_plan(site)
    assert plan is not None
    cored = plan.day_of("core_aeration")
    assert cored is not None
    last = np.busday_offset(cored, -3, roll="forward", holidays=FEDERAL).astype(dt.date)
    # A case keeps what it has read, so that its views agree; what was kept since wants a new one.
    lawn = open_case(site, book)
    for ahead in range((cored - made).days + 1):
        on = made + dt.timedelta(days=ahead)
        lines = plan_lines(Advice(replace(lawn, on=on)))
        said = [line for line in lines if "core aeration" in line]
        assert said
        for line in said:
            hour = re.search(r"\d\d:\d\d to \d\d:\d\d:[^.]*core aeration \(", line)
            assert bool(hour) is (on <= last), (on, line)
            assert ("No core aeration" in line) is (on > last), (on, line)


def test_work_of_several_days_has_the_gates_of_the_day_on_which_it_begins(
    book: RuleBook, tmp_path: Path
) -> None:
    """What cannot begin on Thursday is not gone on with on Friday, nor asked for twice."""
    lawn = lawn_with([], tmp_path, book)
    site, work = Path(lawn.name), (("new_seeding", "back"),)
    begins, goes_on = dt.date(2026, 9, 10), dt.date(2026, 9, 11)
    days = tuple(PlannedDay(day, 540, 720, work) for day in (begins, goes_on))
    write_plan(site, KeptPlan(dt.date(2026, 8, 20), days))
    last, later = (
        np.busday_offset(day, -3, roll="forward", holidays=FEDERAL).astype(dt.date)
        for day in (begins, goes_on)
    )
    assert last < SATURDAY <= later
    for on, hours in ((last, 2), (SATURDAY, 0)):
        advice = Advice(open_case(site, book, on))
        told = [line for line in plan_lines(advice) if "new lawn" in line]
        assert sum(bool(re.search(r"\d\d:\d\d to \d\d:\d\d:", line)) for line in told) == hours
        assert {gate.work for gate in of_plan(advice.gates, advice.plan)} == {begins}
    # On the second day it has begun, or never will: that day's own gates are told.
    advice = Advice(open_case(site, book, goes_on))
    assert {gate.work for gate in of_plan(advice.gates, advice.plan)} == {goes_on}


def test_the_search_keeps_off_barred_days() -> None:
    days = tuple(WorkDay(SATURDAY + dt.timedelta(days=n), 480, 1080, 360, 21.0) for n in range(3))
    rng = random.Random(3)
    for _ in range(200):
        tasks = tuple(
            Task(
                id=f"t{n}", operation="core_aeration", area="front", title="core",
                minutes=rng.uniform(20, 200), met=6.0, machine="core_aerator",
                after=frozenset({f"t{n - 1}"} if n and rng.random() < 0.5 else ()),
                barred=frozenset(d.date for d in days if rng.random() < 0.5),
            )
            for n in range(rng.randint(1, 5))
        )  # fmt: skip
        crew = Crew(rng.randint(1, 2))
        plan = make_plan(tasks, days, crew)
        assert plan_faults(plan, tasks, days, crew) == []
        by_id = {task.id: task for task in tasks}
        assert all(slot.date not in by_id[slot.task].barred for slot in plan.slots)
        for slot in plan.slots:
            shut = [
                replace(t, barred=frozenset({slot.date})) if t.id == slot.task else t for t in tasks
            ]
            assert any("is barred" in fault for fault in plan_faults(plan, shut, days, crew))


def page_of(kind: str, lawn: Case) -> str:
    if kind == "workplan":
        return workplan_html(compose_workplan(Advice(replace(lawn, on=SATURDAY)), SATURDAY, 7))
    if kind == "amounts":
        return amounts_html(compose_shopping(Advice(replace(lawn, on=SATURDAY))))
    if kind == "year":
        return year_html(compose_year(Advice(replace(lawn, on=SATURDAY))))
    digest = compose_edition(replace(lawn, on=SATURDAY)).digest
    return digest_html(digest) if kind == "week" else mail_html(digest)


HIDES = re.compile(r"([^{}]+)\{[^{}]*(?:display:\s*none|visibility:\s*hidden|height:\s*0[;p}])")


@pytest.mark.parametrize("kind", ["workplan", "amounts", "year", "week", "mail"])
def test_gates_come_first_and_no_style_hides_them(
    kind: str, book: RuleBook, tmp_path: Path
) -> None:
    """On screen and in print alike: nothing that a page's styles hide holds a gate or is held."""
    page = page_of(kind, lawn_with([], tmp_path, book))
    root = html5lib.parse(page, namespaceHTMLElements=False)
    body = root.find("body")
    assert body is not None
    order = [e for e in body.iter() if isinstance(e.tag, str)]
    (gates,) = [e for e in order if e.get("class") == "gates"]
    words = [
        e
        for e in order
        if e.tag in ("table", "h3", "ul", "ol", "details") and "".join(e.itertext()).strip()
    ]
    assert order.index(gates) < min(order.index(e) for e in words)
    kin = [*gates.iter(), *(e for e in order if gates in list(e.iter()))]
    names = {e.tag for e in kin if isinstance(e.tag, str)}
    names |= {f".{c}" for e in kin for c in (e.get("class") or "").split()}
    styles = " ".join("".join(s.itertext()) for s in root.iter("style"))
    hidden = {
        last.strip().split()[-1]
        for selectors in HIDES.findall(re.sub(r"@media[^{]*\{", "", styles))
        for last in selectors.split(",")
    }
    assert not hidden & names, hidden
    assert not any("none" in (e.get("style") or "") for e in kin)
