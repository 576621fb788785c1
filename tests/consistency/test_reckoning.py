"""Every amount that a view prints, against plain arithmetic on the lawn's own files.

Seed, water, nitrogen, product and minutes of forty lawns on their drawn days; and of lawns whose
records, labels and laws bring each cap and each label into play.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import product
from pathlib import Path

import pytest
from lawns import FORTY, Lawn, write
from reader import Claim, Reader
from reckoning import Reckoning
from shown import claims_of, shown
from views import said, titles

FIELDS = ("seed", "water", "nitrogen", "product", "minutes")
IDS = {title: id for id, title in titles().items()}


def numbers(claim: Claim) -> tuple[float, ...]:
    """The numbers of a claim, the least first."""
    assert isinstance(claim.value, tuple)
    cells = [str(each).replace(",", "") for each in claim.value]
    found = tuple(float(each) for each in cells if each.replace(".", "").isdigit())
    return found * 2 if len(found) == 1 else found


def printed_as(field: str, number: float, said: float) -> bool:
    """Whether a number is said so: one decimal under a hundred, whole above; water in two figures,
    minutes in fives and never under five."""
    step = 0.1 if said < 100 else 1.0
    if field == "water":
        step = 10.0 ** (len(f"{said:.0f}") - 2)
    elif field == "minutes":
        step, number = 5.0, max(number, 5.0)
    return abs(said - number) <= step / 2 * (1 + 1e-6)


def wrong(claims: Iterable[Claim], lawn: Reckoning) -> Iterator[tuple[Claim, object]]:
    """The claims that are not what they are reckoned to be."""
    for claim in claims:
        if claim.field in FIELDS:
            ends = lawn.of(IDS[claim.job], claim.part).get(claim.field)
            pairs = zip(ends or (), numbers(claim), strict=bool(ends))
            if not ends or not all(printed_as(claim.field, *pair) for pair in pairs):
                yield claim, ends


@pytest.mark.parametrize("lawn", FORTY, ids=lambda lawn: lawn.name.split()[1])
def test_what_is_printed_is_what_is_reckoned(lawn: Lawn, kept: Path) -> None:
    claims = claims_of(shown(lawn, lawn.drawn, kept), lawn.parts)
    reckoning = Reckoning.read(lawn.site, lawn.journal, lawn.drawn)
    assert not list(wrong(claims, reckoning))
    # What is printed otherwise by a twentieth, or by five minutes, does not pass.
    for claim in claims:
        if claim.field in FIELDS:
            fives = claim.field == "minutes"
            ends = [n + 5 if fives else max(1.05 * n, n + 0.11) for n in numbers(claim)]
            assert list(wrong([replace(claim, value=tuple(map(str, ends)))], reckoning)), claim


SITE = """# Invented: no such lawn.
format: 1
name: Lawn of caps (invented)
place: {place}
units: {units}
stand: [{{grass: {grass}}}]
sown_on: 2015-09-06
areas: [{{name: front, size: {size}, sun: full, slope: flat}}]
soil: {{texture: loam}}
water: {{irrigated: yes, can_water_seed: yes}}
people: {{number: 1, hours_per_day: 6 h, free_days: [saturday, sunday]}}
supplies:
  seed:
    - {{grass: {grass}, purity: 12 %, germination: 90 %}}
    - {{parts: [{{grass: {grass}, purity: 55 %, germination: 85 %}},
        {{grass: perennial_ryegrass, purity: 40 %, germination: 90 %}}]}}
  fertiliser: [{bags}]
"""
NORTH = "{{latitude: 40.4, longitude: -74.5, country: US, subdivision: {}}}"
SOUTH = "{{latitude: 29.2, longitude: -82.1, country: US, subdivision: FL, county: {}}}"
AUTUMN, SUMMER = dt.date(2024, 9, 10), dt.date(2024, 6, 10)
STATES, COUNTIES = ("NJ", "MD", "PA", "OH"), ("Marion", "Polk", "Orange")
PLACES = [(NORTH.format(state), AUTUMN, "kentucky_bluegrass") for state in STATES]
PLACES += [(SOUTH.format(county), SUMMER, "bermudagrass") for county in COUNTIES]
BAGS = (
    "",
    "{analysis: 46-0-0}",
    "{analysis: 24-0-11, slow: 40 %}",
    "{analysis: 10-10-10, slow: 20 %}, {analysis: 30-0-4, slow: 100 %}",
)
FED = (
    ("work,feeding,n=0.5 lb/1000ft2",),
    ("work,feeding,n=0.8 lb/1000ft2", "work,feeding,n=0.6 lb/1000ft2"),
    ("observation,nitrogen_fed,1.6 lb/1000ft2", "observation,soil_phosphorus,low"),
    ("work,feeding,took=40 min",),
)


@pytest.mark.sample(12)
@pytest.mark.parametrize(
    ("place", "bags", "fed", "us"), list(product(PLACES, BAGS, FED, (True, False)))
)
def test_the_least_of_the_caps_holds(
    place: tuple[str, dt.date, str], bags: str, fed: tuple[str, ...], us: bool, tmp_path: Path
) -> None:
    where, on, grass = place
    units, size = ("us", "3300 ft2") if us else ("metric", "290 m2")
    site = SITE.format(place=where, units=units, grass=grass, size=size, bags=bags)
    early = on - dt.timedelta(days=60)
    rows = ["observation,turf_state,growing", "observation,soil_feel,moist"]
    rows = [f"{on},{each}" for each in rows]
    rows += [f"{early},wish,{each},yes" for each in ("feeding", "overseeding")]
    rows += [f"{early},{each}" for each in fed]
    journal = "id,date,kind,what,value,area,note\n"
    journal += "".join(f"r{at},{each},,\n" for at, each in enumerate(sorted(rows), 1))
    lawn = replace(FORTY[6], site=site, journal=journal, parts=("front",))
    folder = str(write(lawn, tmp_path / "site"))
    reader = Reader(tuple(IDS), lawn.parts, on)
    claims: list[Claim] = []
    for job in ("feeding", "overseeding"):
        asked = said("ask", folder, f"should I do {job}", "--on", on.isoformat())
        claims += reader.answers("ask", asked)
    claims += reader.amounts("amounts", said("amounts", folder, "--on", on.isoformat()))
    reckoning = Reckoning.read(lawn.site, lawn.journal, on)
    assert not list(wrong(claims, reckoning))
    assert any(claim.field in FIELDS for claim in claims)
