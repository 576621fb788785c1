"""Worked examples and seasons in print: fertiliser weight, lime, how a year's nitrogen is split.

Sources beside each check. Weather records: tests/data/weather/README.md.
"""

from __future__ import annotations

import csv
import datetime as dt
import gzip
from pathlib import Path

import pytest

from advisor.amounts.amount import Amount
from advisor.amounts.fertiliser import feed_line
from advisor.amounts.spread import lime_line, liming_material, product_weight
from advisor.base.units import convert
from advisor.decide.windows.outlook import outlook
from advisor.facts.axis import build_axis
from advisor.facts.fact import Fact, Lawn
from advisor.facts.weather_facts import WeatherFacts
from advisor.rulebook.law import rules_on
from advisor.rulebook.model import RuleBook
from advisor.rulebook.read_rulebook import read_rulebook
from advisor.weather.read_weather import read_weather

DATA = Path(__file__).parents[1] / "data" / "weather"
POUND = convert(1.0, "g/m2", "lb/1000ft2")
"""lb per 1,000 ft² in one g/m²."""
THOUSAND = 92.90304
"""m² in 1,000 ft²."""


@pytest.fixture(scope="module")
def book() -> RuleBook:
    return read_rulebook(cache=False)


def test_weight_of_a_fertiliser() -> None:
    # Nebraska, Lawn fertilizer calculations: 1 lb of nitrogen from a 28-3-6 is 3.57 lb for
    # 1,000 ft², 21.42 lb on 6,000 ft² (3.57 x 6, rounded on the way).
    assert product_weight(1.0, 28) == pytest.approx(3.57, abs=0.005)
    assert product_weight(6.0, 28) == pytest.approx(21.42, abs=0.02)
    # Clemson HGIC 1216: 6.25 lb of a 16-4-8.
    assert product_weight(1.0, 16) == 6.25
    # North Carolina, zoysiagrass calendar: half a pound from a 5-5-15 is 10 lb.
    assert product_weight(0.5, 5) == pytest.approx(10)
    # Virginia Tech 2008: 50 lb of 10-10-10 hold 5 lb.
    assert product_weight(5.0, 10) == pytest.approx(50)


def test_lime_of_another_purity() -> None:
    # Penn State, Home lawn report: 75 lb recommended, equivalent 80: 94 lb.
    assert liming_material(75, 80) == pytest.approx(94, abs=0.5)
    assert liming_material(75, 100) == 75


def facts(**values: float | str | None) -> dict[str, Fact]:
    return {name: Fact(name, value, "measured", None) for name, value in values.items()}


def amount(
    book: RuleBook, operation: str, grass: str, thousands: float, place: str = "", **values: object
) -> Amount | None:
    laws = rules_on([book.laws[place]] if place else [], ["nitrogen_cap"], grass)
    given = facts(**values)  # type: ignore[arg-type]
    job, of, size = book.operations[operation], book.grasses[grass], thousands * THOUSAND
    if operation == "lime":
        found = lime_line(job, of, None, size, given, "us")
    else:
        found = feed_line(job, of, None, size, given, laws, "US", book.supplies, "us")
    return None if found is None else found[0]


def fed(book: RuleBook, grass: str, half: str, pounds: float | None, place: str = "") -> float:
    """Pounds of nitrogen told for 1,000 ft²."""
    value = None if pounds is None else pounds / POUND
    found = amount(book, "feeding", grass, 1, place, feeding_half=half, nitrogen_fed=value)
    return 0.0 if found is None else round(found.high, 3)


def test_one_dose_is_never_over_what_maryland_prints(book: RuleBook) -> None:
    # Maryland schedule (2023): 0.9 lb of total nitrogen at a time.
    for grass in book.grasses:
        for half in ("to_midwinter", "to_midsummer"):
            assert fed(book, grass, half, 0.0) <= 0.9
    assert fed(book, "kentucky_bluegrass", "to_midwinter", None) == 0.9


def test_a_dose_is_what_is_left(book: RuleBook) -> None:
    # Maryland: two autumn doses of 0.9 lb on bluegrass; one, and 1.4 lb a year, on fine fescues.
    assert fed(book, "kentucky_bluegrass", "to_midwinter", 0.9) == 0.9
    assert fed(book, "kentucky_bluegrass", "to_midwinter", 1.5) == 0.3
    assert fed(book, "kentucky_bluegrass", "to_midwinter", 1.8) == 0.0
    assert fed(book, "fine_fescues", "to_midsummer", 0.9) == 0.5
    # South Carolina: half a pound to a pound on centipedegrass in May.
    assert fed(book, "centipedegrass", "to_midsummer", 0.0) == 0.5


def test_the_law_holds_a_dose_down(book: RuleBook) -> None:
    # Marion County 19-247(b): 2 lb a year on centipedegrass, 1 lb at a time.
    # Without a label all of it is taken as quick, which the same section holds to 0.7 lb.
    assert fed(book, "bermudagrass", "to_midwinter", 0.0, "us_fl_marion") == 0.7
    cap = next(r for r in book.laws["us_fl_marion"].rules if r.id == "dose")
    assert cap.most is not None
    assert cap.most * POUND == pytest.approx(1.0)
    # Orange County: 1 lb; the grass's own rest of 0.2 lb is less.
    assert fed(book, "zoysiagrass", "to_midwinter", 1.8, "us_fl_orange") == 0.2


def test_lime_at_a_time(book: RuleBook) -> None:
    # Virginia 452-717: at most 50 lb for 1,000 ft² at a time, less where less is asked for.
    for asked, told in ((75, 50), (40, 40), (50, 50)):
        found = amount(book, "lime", "tall_fescue", 3, lime_left=asked / POUND)
        assert found is not None
        assert found.high == pytest.approx(told * 3, abs=0.01)
    assert amount(book, "lime", "tall_fescue", 3, lime_left=0.0) is None
    assert amount(book, "lime", "tall_fescue", 3, lime_left=None) is None


# Pounds for 1,000 ft² up to midsummer and in the whole season. Kansas (column of June):
# bermudagrass 3 lb on many lawns, 1 lb at a time from early May about four weeks apart; zoysia up
# to 2 lb, half in early June; buffalograss 1 lb in early June. Florida ENH-73: St. Augustinegrass
# 1 lb after green-up and 1 lb in late summer. South Carolina: centipedegrass half a pound in May
# and in August.
# Bahiagrass: 2-3 lb in north Florida (Guide to Florida-Friendly Landscaping, table 2).
SEASON = {
    "bermudagrass": (1 + 1, 3),
    "zoysiagrass": (2 / 2, 2),
    "buffalograss": (1, 1),
    "st_augustinegrass": (1, 1 + 1),
    "centipedegrass": (0.5, 0.5 + 0.5),
    "bahiagrass": (2 / 2, 2),
}


@pytest.mark.parametrize("grass", SEASON)
def test_warm_season_split(grass: str, book: RuleBook) -> None:
    limits = book.grasses[grass].limits
    told = [limits[f"nitrogen_{half}"].value * POUND for half in ("midsummer", "midwinter")]
    assert told == pytest.approx(SEASON[grass], abs=0.001)
    low, high = (limits[f"nitrogen_year_{end}"].value * POUND for end in ("low", "high"))
    assert low - 0.001 <= told[1] <= high + 0.001


def test_no_cool_season_grass_is_given_more_than_virginia_allows(book: RuleBook) -> None:
    # Virginia DCR: 3.5 lb a year at the most, fine fescues 2; Illinois has bentgrass at 2-6.
    for grass in book.grasses.values():
        if grass.traits["season_type"] == "cool":
            most = 2.0 if grass.id == "fine_fescues" else 3.5
            year, autumn = (grass.limits[f"nitrogen_{x}"].value for x in ("midsummer", "midwinter"))
            assert autumn < year
            assert year * POUND <= most + 0.001


def windows(
    book: RuleBook, place: str, latitude: float, grass: str
) -> dict[str, tuple[dt.date, ...]]:
    """Median opening and closing of each window of feeding, as seen in January 2015."""
    file = DATA / f"{place}.csv.gz"
    with gzip.open(file, "rt", encoding="utf-8") as text:
        rows = [row[:4] for row in csv.reader(text)]
    plain = Path(str(_FOLDER[0])) / f"{place}.csv"
    plain.write_text("\n".join(",".join(row) for row in rows) + "\n", encoding="utf-8")
    table = read_weather(plain, today=dt.date(2022, 1, 1))
    axis = build_axis(table, None, dt.date(2015, 1, 10), latitude)
    assert axis is not None
    kind = book.grasses[grass].traits["season_type"]
    lawn = Lawn(latitude, 300.0, season_type=kind)  # type: ignore[arg-type]
    seen = outlook(
        book.operations["feeding"].for_grass(book.grasses[grass]), WeatherFacts(axis, lawn), {}
    )
    found: dict[str, tuple[dt.date, ...]] = {}
    for opening in seen.later:
        found.setdefault(opening.window.id, (opening.opens.p50, opening.closes.p50))
    return found


_FOLDER: list[Path] = []


@pytest.fixture(autouse=True)
def folder(tmp_path: Path) -> None:
    _FOLDER[:] = [tmp_path]


@pytest.mark.parametrize(
    ("place", "latitude"), [("central_iowa", 42.0), ("norfolk_uk", 52.6), ("champion_ne", 40.4)]
)
def test_spring_feeding_is_in_may(place: str, latitude: float, book: RuleBook) -> None:
    # Purdue: after the flush, late April or May; Maryland: May to early June; Virginia: none in
    # April.
    first, last = windows(book, place, latitude, "kentucky_bluegrass")["late_spring"]
    assert dt.date(2015, 4, 25) <= first <= dt.date(2015, 5, 20)
    assert last <= dt.date(2015, 6, 5)


def test_bermudagrass_in_south_carolina(book: RuleBook) -> None:
    # Clemson: begin in May; green-up late April to early May, and some weeks after it. Georgia:
    # August the last, none from September on.
    first, last = windows(book, "clemson_sc", 34.7, "bermudagrass")["growing_season"]
    assert dt.date(2015, 5, 1) <= first <= dt.date(2015, 5, 31)
    assert dt.date(2015, 8, 15) <= last <= dt.date(2015, 9, 5)


def test_bermudagrass_further_north_ends_before_its_frost(book: RuleBook) -> None:
    # Kansas: early June to 15 August. Champion lies high in the south-west of Nebraska: later in
    # spring, and six weeks before a first frost at the end of September.
    first, last = windows(book, "champion_ne", 40.4, "buffalograss")["growing_season"]
    assert dt.date(2015, 6, 1) <= first <= dt.date(2015, 6, 30)
    assert dt.date(2015, 8, 1) <= last <= dt.date(2015, 8, 25)
