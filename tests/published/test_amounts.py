"""Amounts against worked examples in print; the source stands beside each check."""

from __future__ import annotations

import datetime as dt

import pytest

from advisor.amounts.bags import bags_for
from advisor.amounts.fertiliser import content, feed_line
from advisor.amounts.lifting import Lift, lifting_index, recommended_limit
from advisor.amounts.seed import (
    bag_rate,
    germination_counts_to,
    label_notes,
    pure_live_seed,
    seed_line,
)
from advisor.amounts.spread import lime_line, product_weight, topdressing_litres
from advisor.base import record as records
from advisor.base.units import convert
from advisor.facts.fact import Fact
from advisor.records.check_site import as_record
from advisor.records.sections import FertiliserBag, LimeBag, SeedBag
from advisor.records.supply_keys import FertiliserBagKeys, LimeBagKeys, SeedBagKeys
from advisor.rulebook.effort import SupplyNumbers
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook

POUND = 0.45359237
THOUSAND = 92.90304
LB_RATE = convert(1.0, "g/m2", "lb/1000ft2")
INCH_CM = 2.54


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


@pytest.fixture(scope="module")
def numbers(book: RuleBook) -> SupplyNumbers:
    return book.supplies


def label(**given: object) -> SeedBag:
    return as_record(SeedBagKeys.model_validate(given), SeedBag)


# --- pure live seed ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("purity", "germination", "live", "for_one"),
    [
        # Penn State, Calculating the price of pure live seed: 74 %, 1.4 lb for each pound.
        (0.92, 0.80, 0.74, 1.4),
        # The same sheet, seed lots A (51 %, "2 lb") and B (89 %, 1.1 lb).
        (0.85, 0.60, 0.51, 2.0),
        (0.99, 0.90, 0.89, 1.1),
        # Texas Department of Transportation: bermudagrass, 0.64 and 1.56 lb.
        (0.85, 0.75, 0.64, 1.56),
        # Cornell, Safe Sports Fields: 0.95 x 0.85 = 81 %.
        (0.95, 0.85, 0.81, None),
        # Minnesota, Purchasing seed: 31 % of bluegrass at 80 %: 24.8 %.
        (0.31, 0.80, 0.248, None),
    ],
)
def test_pure_live_seed(
    purity: float, germination: float, live: float, for_one: float | None
) -> None:
    assert pure_live_seed(purity, germination) == pytest.approx(live, abs=0.006)
    if for_one is not None:
        assert bag_rate([(pure_live_seed(purity, germination), 1.0)]) == pytest.approx(
            for_one, abs=0.05
        )


def test_seed_for_a_lawn_from_its_label() -> None:
    # Louisiana, Pure live seed calculation: 20,000 ft² at 1 lb of live seed for 1,000 ft², 48 %
    # pure, 80 % germination: 52.6 lb (0.38, rounded on the way; 52.1 exactly).
    assert 20 * bag_rate([(pure_live_seed(0.48, 0.80), 1.0)]) == pytest.approx(52.6, abs=0.6)


def test_the_whole_line_says_what_louisiana_reckons(book: RuleBook, numbers: SupplyNumbers) -> None:
    # The same label on our own rate of bermudagrass, whose upper end is the 1 lb of the example.
    grass = book.grasses["bermudagrass"]
    assert grass.limits["seed_rate_new_high"].value * LB_RATE == pytest.approx(1.0)
    bag = label(grass="bermudagrass", purity="48 %", germination="80 %")
    operation = book.operations["new_seeding"].for_grass(grass)
    found = seed_line(operation, grass, book.grasses, bag, 20 * THOUSAND, numbers, "us")
    assert found is not None
    line, kilos = found
    assert line.high == pytest.approx(52.6, abs=0.6)
    assert kilos / POUND == pytest.approx(line.high * 1.05)


def test_seeds_on_a_square_foot(book: RuleBook) -> None:
    # Cornell: about 1.5 million seeds in a pound of Kentucky bluegrass, 250,000 in one of perennial
    # ryegrass. Grounds Maintenance: rates mean 1,000 to 2,000 live seeds on a square foot, here for
    # the middle of the printed range (bluegrass is sown thicker: Cornell prints 1-3 lb for it).
    counts = {
        "perennial_ryegrass": (250_000, 1000, 2000),
        "kentucky_bluegrass": (1.5e6, 1500, 4500),
    }
    for grass, (in_a_pound, fewest, most) in counts.items():
        limits = book.grasses[grass].limits
        ends = [limits[f"seed_rate_new_{end}"].value * LB_RATE for end in ("low", "high")]
        assert fewest <= sum(ends) / 2 * in_a_pound / 1000 <= most


# --- the label --------------------------------------------------------------------------------


def minnesota_label(**more: object) -> SeedBag:
    """Minnesota, Purchasing seed, table 5.2; the two red fescues as one."""
    parts = [
        {"grass": "fine_fescues", "purity": "53 %", "germination": "85 %"},
        {"grass": "kentucky_bluegrass", "purity": "31 %", "germination": "80 %"},
        {"grass": "perennial_ryegrass", "purity": "12 %", "germination": "90 %"},
    ]
    rest = {"other_crop": "1.56 %", "inert": "2.11 %", "weed_seed": "0.33 %"}
    return label(parts=parts, **rest, **more)


def test_a_printed_label_adds_up() -> None:
    # "These percentages added together should total 100 percent."
    bag = minnesota_label()
    assert bag.weed_seed is not None
    assert bag.other_crop is not None
    assert bag.inert is not None
    total = sum(p.purity for p in bag.parts) + bag.weed_seed + bag.other_crop + bag.inert
    assert total == pytest.approx(1.0)


def test_what_the_label_is_told_off_for(book: RuleBook, numbers: SupplyNumbers) -> None:
    # Louisiana, Best buy on grass seed (2005): other crop under 0.5 %, weed seed under 0.3 %, inert
    # under 4 %, germination around 85 %. Minnesota's label breaks three of them.
    bag = minnesota_label(tested=dt.date(2026, 3, 1))
    said = " ".join(label_notes(bag, book.grasses, numbers, dt.date(2026, 9, 5)))
    assert "0.33 % weed seed" in said
    assert "1.56 % seed of other crops" in said
    assert "inert" not in said
    assert "Kentucky bluegrass sprouts at 80 %" in said
    assert "run out" not in said


def test_how_long_a_germination_test_counts(book: RuleBook, numbers: SupplyNumbers) -> None:
    # Kentucky: 15 months for cool-season grasses, 9 for all other seed; Michigan: the month of the
    # test is not counted.
    tested = dt.date(2026, 3, 10)
    assert germination_counts_to(tested, ["cool"], numbers) == dt.date(2027, 6, 30)
    assert germination_counts_to(tested, ["warm"], numbers) == dt.date(2026, 12, 31)
    assert germination_counts_to(tested, ["cool", "warm"], numbers) == dt.date(2026, 12, 31)
    bag = label(grass="bermudagrass", purity="97 %", germination="85 %", tested=tested)
    for on, old in ((dt.date(2026, 12, 31), False), (dt.date(2027, 1, 1), True)):
        said = " ".join(label_notes(bag, book.grasses, numbers, on))
        assert ("has run out" in said) is old


# --- fertiliser -------------------------------------------------------------------------------


def test_what_a_bag_holds(numbers: SupplyNumbers) -> None:
    # Minnesota, Getting what you paid for, tables 7.3 and 7.4: 60 lb of 30-4-4 hold 18 lb of
    # nitrogen, 2.4 lb of phosphate and of potash, which are 1.1 lb of phosphorus and 2.0 lb of
    # potassium.
    bag = as_record(FertiliserBagKeys.model_validate({"analysis": "30-4-4"}), FertiliserBag)
    inside = content(bag, "US", numbers)
    assert 60 * inside.n == pytest.approx(18)
    assert 60 * bag.analysis[1] / 100 == pytest.approx(2.4)
    assert 60 * inside.p == pytest.approx(1.1, abs=0.05)
    assert 60 * inside.k == pytest.approx(2.0, abs=0.01)
    elemental = records.replace(bag, numbers="elemental")
    assert 60 * content(elemental, "US", numbers).p == pytest.approx(2.4)


def test_the_factors_are_those_of_the_atoms(numbers: SupplyNumbers) -> None:
    # Standard atomic weights (IUPAC 2021, abridged): P 30.974, K 39.098, O 15.999.
    p, k, o = 30.974, 39.098, 15.999
    assert numbers["p_in_p2o5"] == pytest.approx(2 * p / (2 * p + 5 * o), abs=0.005)
    assert numbers["k_in_k2o"] == pytest.approx(2 * k / (2 * k + o), abs=0.005)


@pytest.mark.parametrize(
    ("pounds", "thousands", "first", "product"),
    [
        (1.0, 6, 28, 21.42),  # Nebraska, Lawn fertilizer calculations, rounded on the way
        (1.0, 1, 16, 6.25),  # Clemson HGIC 1216
        (0.5, 1, 5, 10.0),  # North Carolina, zoysiagrass calendar: 5-5-15
        (1.0, 1, 20, 5.0),  # Rutgers fact sheet for lawns (as restated elsewhere), example 1
        (2.0, 1, 20, 10.0),  # the same, example 2
    ],
)
def test_weight_of_a_fertiliser(
    pounds: float, thousands: float, first: float, product: float
) -> None:
    assert product_weight(pounds * thousands, first) == pytest.approx(product, abs=0.02)


def fed(
    book: RuleBook, numbers: SupplyNumbers, bag: dict[str, object], place: str = "", **facts: object
) -> float:
    """Pounds of nitrogen for 1,000 ft² of bluegrass in autumn."""
    grass = book.grasses["kentucky_bluegrass"]
    given = {"feeding_half": "to_midwinter", "nitrogen_fed": 0.0} | facts
    day = {n: Fact(n, v, "measured", None) for n, v in given.items()}  # type: ignore[arg-type]
    rules = [r for r in book.laws[place].rules if r.subject == "nitrogen_cap"] if place else []
    model = as_record(FertiliserBagKeys.model_validate(bag), FertiliserBag)
    found = feed_line(
        book.operations["feeding"].for_grass(grass),
        grass,
        model,
        THOUSAND,
        day,
        rules,
        "US",
        numbers,
        "us",
    )
    return 0.0 if found is None else found[1] / POUND * model.analysis[0] / 100


def test_quick_nitrogen_in_maryland(book: RuleBook, numbers: SupplyNumbers) -> None:
    # Maryland: 0.9 lb of total nitrogen at a time, of which at most 0.7 lb is soluble.
    assert fed(book, numbers, {"analysis": "25-0-5"}, "us_md") == pytest.approx(0.7, abs=0.01)
    slow = {"analysis": "25-0-5", "slow": "30 %"}
    assert fed(book, numbers, slow, "us_md") == pytest.approx(0.9, abs=0.01)
    some = {"analysis": "25-0-5", "slow": "10 %"}
    assert fed(book, numbers, some, "us_md") == pytest.approx(0.7 / 0.9, abs=0.01)


def test_what_was_fed_counts(book: RuleBook, numbers: SupplyNumbers) -> None:
    # Maryland: two autumn doses of 0.9 lb on bluegrass.
    bag = {"analysis": "25-0-5"}
    assert fed(book, numbers, bag, nitrogen_fed=1.5 / LB_RATE) == pytest.approx(0.3, abs=0.01)
    assert fed(book, numbers, bag, nitrogen_fed=1.8 / LB_RATE) == 0.0


# --- lime, topdressing ------------------------------------------------------------------------


def test_lime_of_a_bag(book: RuleBook) -> None:
    # Penn State, Home lawn: 75 lb recommended at an equivalent of 80 are 94 lb. Virginia 452-717:
    # at most 50 lb at a time, so 62.5 lb now and 31.25 lb in a second go.
    grass = book.grasses["tall_fescue"]
    day = {"lime_left": Fact("lime_left", 75 / LB_RATE, "measured", None)}
    bag = as_record(LimeBagKeys.model_validate({"equivalent": "80 %"}), LimeBag)
    operation = book.operations["lime"].for_grass(grass)
    found = lime_line(operation, grass, bag, THOUSAND, day, "us")
    assert found is not None
    assert found[0].high == pytest.approx(62.5, abs=0.01)
    assert "the first of 2 goes" in found[0].says
    assert pytest.approx(94, abs=0.3) == 62.5 + 25 * 100 / 80
    day = {"lime_left": Fact("lime_left", None, "measured", None)}
    assert lime_line(operation, grass, bag, THOUSAND, day, "us") is None


def test_volume_of_topdressing(numbers: SupplyNumbers) -> None:
    # Cumberland County Soil and Water Conservation District: about three quarters of a cubic yard
    # for 1,000 ft² at ¼ in and a little more.
    yards = convert(topdressing_litres(numbers["layer"], THOUSAND), "L", "yd3")
    assert yards == pytest.approx(0.75, abs=0.05)
    assert topdressing_litres(6.0, 100.0) == 600.0
    # NIST SP 811 (2008), appendix B: 1 yd³ = 0.7645549 m³, 1 ft³ = 0.02831685 m³.
    assert convert(764.5549, "L", "yd3") == pytest.approx(1.0, abs=1e-6)
    assert convert(28.31685, "L", "ft3") == pytest.approx(1.0, abs=1e-6)


def test_whole_bags() -> None:
    assert bags_for(10.0, 5.0, 7.0).count == bags_for(10.0000001, 5.0, 7.0).count == 2
    found = bags_for(10.1, 5.0, 7.0)
    assert (found.count, found.cost) == (3, 21.0)
    assert found.left == pytest.approx(4.9)
    with pytest.raises(ValueError, match="holds something"):
        bags_for(1.0, 0.0)


# --- lifting ----------------------------------------------------------------------------------


def test_the_manuals_first_example() -> None:
    """NIOSH 94-110, section 3.1.1, "loading punch press stock": a 44 lb reel (from memory).

    At the start 16.3 lb and an index of 2.7, at the end 14.5 lb and 3.0; the manual rounds each
    multiplier to two figures, and ours are those of its metric column.
    """
    start = Lift(reach=23 * INCH_CM, height=15 * INCH_CM, travel=48 * INCH_CM, grip=0.95)
    end = Lift(reach=23 * INCH_CM, height=63 * INCH_CM, travel=48 * INCH_CM)
    for lift, pounds, index in ((start, 16.3, 2.7), (end, 14.5, 3.0)):
        assert recommended_limit(lift) / POUND == pytest.approx(pounds, rel=0.05)
        assert lifting_index(44 * POUND, lift) == pytest.approx(index, rel=0.065)


@pytest.mark.parametrize(
    ("change", "multiplier"),
    [
        # NIOSH 94-110, tables 1 to 4, metric columns (from memory).
        ({"reach": 30}, 0.83),
        ({"reach": 40}, 0.63),
        ({"reach": 63}, 0.40),
        ({"height": 0}, 0.78),
        ({"height": 50}, 0.93),
        ({"height": 175}, 0.70),
        ({"travel": 40}, 0.93),
        ({"travel": 70}, 0.88),
        ({"travel": 175}, 0.85),
        ({"twist": 45}, 0.86),
        ({"twist": 90}, 0.71),
        ({"twist": 135}, 0.57),
        ({}, 1.0),
    ],
)
def test_multipliers_of_the_tables(change: dict[str, float], multiplier: float) -> None:
    best = {"reach": 25.0, "height": 75.0, "travel": 25.0}
    found = recommended_limit(Lift(**(best | change)))
    assert found / 23 == pytest.approx(multiplier, abs=0.0051)


def test_out_of_reach() -> None:
    for lift in (Lift(64, 75, 25), Lift(25, 176, 25), Lift(25, 75, 176), Lift(25, 75, 25, 136)):
        assert recommended_limit(lift) == 0
        assert lifting_index(1.0, lift) == float("inf")
