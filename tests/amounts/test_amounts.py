"""The amounts of a lawn: the demo's, and that they can be checked by hand.

Printed worked examples stand in tests/published/test_amounts.py; here the numbers on the sheet are
read back and reckoned again from the site file, apart from the program.
"""

from __future__ import annotations

import datetime as dt
import json
import math
import re
from pathlib import Path

import html5lib
import pytest
from hypothesis import given
from hypothesis import strategies as st
from typer.testing import CliRunner

from advisor.advice.book import Advice
from advisor.amounts.bags import bags_for
from advisor.amounts.fertiliser import refused
from advisor.amounts.hire import break_even
from advisor.amounts.seed import bag_rate
from advisor.base.problems import BadInput
from advisor.base.record import replace
from advisor.base.strict_yaml import load_text
from advisor.cases.case import Case
from advisor.cases.open_folder import open_case
from advisor.cli.main import app
from advisor.demo.scenario import SITE, write_demo
from advisor.facts.fact import Fact
from advisor.planning.shopping import Shopping, compose_shopping
from advisor.planning.workplan import compose_workplan
from advisor.records.check_site import as_record
from advisor.records.sections import FertiliserBag
from advisor.records.supply_keys import FertiliserBagKeys
from advisor.render.sheets.amounts_pages import amounts_html, amounts_json, amounts_text
from advisor.render.sheets.shopping_lines import buy_line
from advisor.render.sheets.workplan_view import view_of as plan_view
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.rulebook.supplies import supply_numbers_of

SATURDAY = dt.date(2026, 9, 5)
POUND = 0.45359237


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook()


@pytest.fixture(scope="module")
def lawn(tmp_path_factory: pytest.TempPathFactory, book: RuleBook) -> Case:
    return open_case(write_demo(tmp_path_factory.mktemp("demo")), book)


@pytest.fixture(scope="module")
def found(lawn: Case) -> Shopping:
    return compose_shopping(Advice(replace(lawn, on=SATURDAY)))


def changed(folder: Path, book: RuleBook, *pairs: tuple[str, str], journal: str = "") -> Case:
    """The demo lawn with parts of its site file replaced and lines added to its journal."""
    site = write_demo(folder)
    text = SITE
    for old, new in pairs:
        assert old in text
        text = text.replace(old, new)
    (site / "site.yaml").write_text(text, encoding="utf-8")
    with (site / "journal.csv").open("a", encoding="utf-8") as lines:
        lines.write(journal)
    return open_case(site, book)


def test_the_seed_of_the_demo_by_hand(found: Shopping) -> None:
    # 3,000 ft² at 1.5 lb (half of what California prints), 97 % x 85 %, 5 % more; 5 lb bags.
    needed = 3 * 1.5 / (0.97 * 0.85) * 1.05
    buy = next(b for b in found.amounts.buys if b.product.startswith("Kentucky"))
    assert buy.needed / POUND == pytest.approx(needed, rel=1e-4)
    assert buy.bags is not None
    assert buy.bags.count == math.ceil(needed / 5) == 2
    assert buy.cost == 2 * 34
    assert buy.sure


def test_the_feed_of_the_demo_by_hand(found: Shopping) -> None:
    # 0.9 lb (Maryland) of a 25-0-5 on each 1,000 ft²; the front is 3,000 ft², the back 2,200 ft².
    fed = {j.ground.name for j in found.amounts.jobs if j.operation.id == "feeding"}
    thousands = sum({"front": 3.0, "back": 2.2}[area] for area in fed)
    buy = next(b for b in found.amounts.buys if b.product.startswith("fertiliser"))
    assert buy.product == "fertiliser 25-0-5"
    assert buy.needed / POUND == pytest.approx(0.9 * thousands / 0.25, rel=1e-3)
    assert not buy.sure
    assert found.amounts.cost(sure=False) - found.amounts.cost(sure=True) >= 42


def test_a_bag_with_phosphorus_stays_in_the_shop(found: Shopping, lawn: Case) -> None:
    warnings = {w for job in found.amounts.jobs for w in job.warnings}
    assert any("10-10-10" in w and "no soil test" in w for w in warnings)
    assert "10-10-10 in the shop" in " ".join(amounts_text(found).split())


@pytest.mark.parametrize(
    ("tested", "law", "said"),
    [
        (None, None, "no soil test of the last three years"),
        ("enough", None, "the soil test shows enough"),
        (None, True, "the law here asks for that test too"),
        ("low", None, ""),
        ("low", True, ""),
    ],
)
def test_phosphorus_only_on_a_soil_test(tested: str | None, law: bool | None, said: str) -> None:
    facts = {
        "soil_phosphorus": Fact("soil_phosphorus", tested, "measured", None),
        "law_phosphorus": Fact("law_phosphorus", law, "stated", None),
    }
    bag = as_record(FertiliserBagKeys.model_validate({"analysis": "24-2-8"}), FertiliserBag)
    why = refused(bag, facts)
    assert said in why
    assert bool(why) is bool(said)
    assert (
        refused(
            as_record(FertiliserBagKeys.model_validate({"analysis": "24-0-8"}), FertiliserBag),
            facts,
        )
        == ""
    )
    assert refused(
        as_record(FertiliserBagKeys.model_validate({"analysis": "0-0-50"}), FertiliserBag), facts
    )


def test_hire_and_break_even(found: Shopping) -> None:
    assert sum(h.cost for h in found.amounts.hires) == 85 + 70
    choice = found.amounts.choices[0]
    assert (choice.quoted, choice.hire) == (160, 85)
    assert choice.worth is not None
    assert choice.hire + choice.worth * choice.minutes / 60 == pytest.approx(choice.quoted)
    assert break_even(80, 85, 30) is None
    assert break_even(85, 85, 30) is None
    with pytest.raises(ValueError, match="takes time"):
        break_even(160, 85, 0)


@given(
    needed=st.floats(0.01, 5000),
    size=st.floats(0.1, 100),
    price=st.one_of(st.none(), st.floats(0, 500)),
)
def test_bags_suffice_and_one_less_does_not(
    needed: float, size: float, price: float | None
) -> None:
    got = bags_for(needed, size, price)
    assert got.count * size >= needed * (1 - 1e-5) - size * 1e-5
    assert (got.count - 1) * size < needed
    assert got.left < size * (1 + 1e-9)
    assert (got.cost is None) == (price is None)


@given(
    shares=st.lists(st.floats(0.05, 1), min_size=1, max_size=4),
    rate=st.floats(0.5, 50),
)
def test_a_mixture_of_equals_is_one_grass(shares: list[float], rate: float) -> None:
    whole = sum(shares)
    parts = [(0.8 * share / whole, rate) for share in shares]
    assert bag_rate(parts) == pytest.approx(bag_rate([(0.8, rate)]))
    assert bag_rate([(0.8, rate)]) == pytest.approx(rate / 0.8)
    with pytest.raises(ValueError, match="nothing"):
        bag_rate([(0.0, rate)])


def test_a_mixture_lies_between_its_grasses() -> None:
    mixed = bag_rate([(0.4, 10.0), (0.4, 30.0)])
    assert 10 / 0.8 < mixed < 30 / 0.8
    # Each grass fills its part: 0.4 r / 10 + 0.4 r / 30 = 1.
    assert 0.4 * mixed / 10 + 0.4 * mixed / 30 == pytest.approx(1)


def test_without_supplies_everything_is_told_by_weight(tmp_path: Path, book: RuleBook) -> None:
    bare = changed(tmp_path, book, (SITE[SITE.index("supplies:") :], ""))
    found = compose_shopping(Advice(replace(bare, on=SATURDAY)))
    buy = next(b for b in found.amounts.buys if b.product.startswith("Kentucky"))
    assert buy.bags is None
    assert buy.needed / POUND == pytest.approx(3 * 1.5 * 1.05, rel=1e-4)
    text = " ".join(amounts_text(found).split())
    assert "Round up to the bag that the shop sells" in text
    assert "Read the label before you pay" in text
    assert found.amounts.cost(sure=True) == 85 + 70


def test_metric_and_a_mixture(tmp_path: Path, book: RuleBook) -> None:
    mixed = SITE[SITE.index("    - grass: kentucky_bluegrass\n      purity") : SITE.index("  fert")]
    label = """    - parts:
        - {grass: kentucky_bluegrass, purity: 60 %, germination: 85 %}
        - {grass: perennial_ryegrass, purity: 37 %, germination: 90 %}
      weed_seed: 0.4 %
      tested: 2024-01-01
      bag: 5 kg
"""
    lawn = changed(tmp_path, book, ("units: us", "units: metric"), (mixed, label))
    text = " ".join(amounts_text(compose_shopping(Advice(replace(lawn, on=SATURDAY)))).split())
    assert "Kentucky bluegrass and perennial ryegrass seed: 1 bag of 5 kg" in text
    assert "0.4 % weed seed: a good label stays under 0.3 %" in text
    assert "germination test of January 2024 has run out" in text
    assert " lb" not in text.replace("(50 lb)", "")
    assert "gal " not in text


def test_lime_only_from_a_laboratory(tmp_path: Path, book: RuleBook) -> None:
    lime = ("  topdressing:", "  lime: {equivalent: 80 %, bag: 40 lb, price: 7}\n  topdressing:")
    asked = "r90,2026-08-20,observation,lime_recommended,75 lb/1000ft2,front,\n"
    lawn = changed(tmp_path, book, lime, journal=asked)
    found = compose_shopping(Advice(replace(lawn, on=SATURDAY)), ["lime"])
    line = next(x for j in found.amounts.jobs if j.ground.name == "front" for x in j.amounts)
    assert line.high == pytest.approx(3 * 50 * 100 / 80, rel=1e-3)
    assert "first of 2 goes" in line.says
    buy = next(b for b in found.amounts.buys)
    assert buy.bags is not None
    assert buy.bags.count == math.ceil(187.5 / 40)
    none = [x.name for j in found.amounts.jobs if j.ground.name == "back" for x in j.amounts]
    assert "lime" not in none


def test_only(lawn: Case) -> None:
    found = compose_shopping(Advice(replace(lawn, on=SATURDAY)), ["thatch_removal"])
    assert {j.operation.id for j in found.amounts.jobs} == {"thatch_removal"}
    assert [(i.operation.id, i.part.name) for i in found.without] == [("thatch_removal", "back")]
    assert "Thatch removal, back: Not needed" in amounts_text(found)
    with pytest.raises(BadInput, match="did you mean 'feeding'"):
        compose_shopping(Advice(replace(lawn, on=SATURDAY)), ["feding"])


def test_a_quote_for_no_operation(tmp_path: Path, book: RuleBook) -> None:
    lawn = changed(tmp_path, book, ("operation: core_aeration", "operation: core_aerate"))
    with pytest.raises(
        BadInput, match=r"'core_aerate' is no operation, did you mean 'core_aeration'"
    ):
        compose_shopping(Advice(replace(lawn, on=SATURDAY)))


def test_every_step_shown_adds_up(found: Shopping) -> None:
    """Whatever is written as a sum on the sheet is one, to the digits shown."""
    sums = products = 0
    shown = [s for j in found.amounts.jobs for line in j.amounts for s in line.steps]
    shown += [s for b in found.amounts.buys for s in b.steps]
    number = r"(\d[\d,]*\.?\d*)"
    for step in shown:
        added = re.fullmatch(rf"{number} (?:lb|cubic yards) \+ {number} .* = {number} .*", step)
        if added:
            a, b, c = (float(x.replace(",", "")) for x in added.groups())
            assert a + b == pytest.approx(c, abs=0.11)
            sums += 1
        live = re.search(rf"{number} % pure × {number} % germination = {number} %", step)
        if live:
            a, b, c = (float(x) for x in live.groups())
            assert a * b / 100 == pytest.approx(c, abs=0.06)
            products += 1
        product = re.fullmatch(rf"{number} lb ÷ {number} × 100 = {number} lb of .*", step)
        if product:
            a, b, c = (float(x) for x in product.groups())
            assert a / b * 100 == pytest.approx(c, rel=0.02)
            products += 1
        whole = re.fullmatch(rf"{number} lb ÷ {number} lb = {number}, rounded up to {number}", step)
        if whole:
            a, b, c, d = (float(x) for x in whole.groups())
            assert a / b == pytest.approx(c, abs=0.02)
            assert d == math.ceil(c)
            sums += 1
    assert sums >= 2
    assert products >= 2


def test_cautions_stand_beside_what_is_bought(found: Shopping, book: RuleBook) -> None:
    text = " ".join(amounts_text(found).split())
    page = " ".join("".join(html5lib.parse(amounts_html(found)).itertext()).split())
    every = {id for job in found.amounts.jobs for id in job.operation.safety}
    assert {"fertiliser", "lifting", "silica_dust", "treated_seed"} <= every
    for id in every:
        assert book.cautions[id].short in text
        assert book.cautions[id].short in page


def test_json_is_stable(found: Shopping) -> None:
    data = json.loads(json.dumps(amounts_json(found)))
    assert data["format"] == 1
    assert set(data) == {
        "format", "rulebook", "site", "on", "units", "work", "buy", "hire", "or_have_it_done",
        "totals", "without", "gates", "programmes",
    }  # fmt: skip
    for work in data["work"]:
        assert work["safety"]
        for amount in work["amounts"]:
            assert amount["low"] <= amount["high"]
            assert amount["steps"]
            assert amount["evidence"], amount["name"]
    assert data["totals"]["cost"] == found.amounts.cost(sure=False)


def test_the_work_plan_buys_from_the_same_list(lawn: Case, found: Shopping) -> None:
    plan = plan_view(compose_workplan(Advice(replace(lawn, on=SATURDAY)), SATURDAY, 3))
    # What may not be needed has no hour, and is not bought for it.
    listed = [
        buy_line(b) for b in found.amounts.buys if b.sure and "overseeding" in "".join(b.jobs)
    ]
    assert listed
    assert set(listed) <= set(plan.buy)
    assert any("For debris: 3 to 6 bags (low mowing, front)" in line for line in plan.buy)


@pytest.mark.slow
@pytest.mark.sample(4)
@pytest.mark.parametrize("month", range(1, 13))
def test_all_year_and_every_grass(month: int, tmp_path: Path, book: RuleBook) -> None:
    day = dt.date(2026, month, 5) if month <= 9 else dt.date(2025, month, 5)
    # Every fourth grass each month, another set in the next: all of them three times in a year.
    for grass in list(book.grasses)[month % 4 :: 4]:
        stand = SITE[SITE.index("stand:") : SITE.index("sown_on")]
        lawn = changed(
            tmp_path / grass, book, (stand, f"stand:\n  - {{grass: {grass}, share: 100 %}}\n")
        )
        found = compose_shopping(Advice(replace(lawn, on=day)))
        assert amounts_text(found)
        for job in found.amounts.jobs:
            assert job.decision.verdict not in ("not_needed", "ruled_out", "missed")


def test_the_command(lawn: Case, tmp_path: Path) -> None:
    run = CliRunner().invoke(app, ["amounts", lawn.name, "--on", "2026-09-05"])
    assert run.exit_code == 0
    assert "GET" in run.stdout
    page = tmp_path / "list.html"
    run = CliRunner().invoke(app, ["amounts", lawn.name, "--on", "2026-09-05", "--html", str(page)])
    assert (run.exit_code, run.stdout) == (0, "")
    assert "@media print" in page.read_text(encoding="utf-8")


def test_the_numbers_file_names_its_evidence(book: RuleBook) -> None:
    text = "format: 1\nvalues:\n  a: {value: 3 in, unit: mm, evidence: [x]}\nevidence: []\n"
    with pytest.raises(BadInput, match=r"3:41: evidence 'x' is not declared below"):
        supply_numbers_of(load_text(text, "supplies.yaml"), book.sources)
    text = text.replace("3 in", "3 kg").replace(
        "evidence: []", "evidence:\n  - {id: x, kind: from_memory, says: y}"
    )
    with pytest.raises(BadInput, match="wanted depth"):
        supply_numbers_of(load_text(text, "supplies.yaml"), book.sources)
