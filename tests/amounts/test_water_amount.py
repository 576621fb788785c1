"""The water for a lawn, against arithmetic that extension services print."""

from __future__ import annotations

from types import SimpleNamespace
from typing import cast

import pytest

from advisor.amounts.spread import refill_amount, sprinkler_rates
from advisor.records.record import Site, Water, Zone

INCH = 25.4
THOUSAND_FT2 = 92.90304


def test_an_inch_on_a_thousand_square_feet_in_gallons() -> None:
    """A cubic foot holds 7.48 gal (NIST SP 811), so 1 in on 1,000 ft² is 623 gal."""
    found = refill_amount({"water_deficit": INCH}, THOUSAND_FT2, "us", ())
    assert found is not None
    assert found.low == found.high == pytest.approx(7.48052 * 1000 / 12, rel=1e-5)
    assert found.says == "1 in of water, about 623 gal"


def test_litres_and_minutes() -> None:
    """1 mm on 1 m² is 1 L; 20 mm at 10 mm/h run for two hours."""
    found = refill_amount({"water_deficit": 20.0}, 100.0, "metric", (10.0,))
    assert found is not None
    assert found.low == pytest.approx(2000.0)
    assert found.says == "20 mm of water, about 2,000 L, 2 h of your sprinklers"
    two = refill_amount({"water_deficit": 20.0}, 100.0, "metric", (10.0, 20.0))
    assert two is not None
    assert two.says.endswith("1 h to 2 h of your sprinklers")


@pytest.mark.parametrize("deficit", [None, 0.0])
def test_nothing_is_said_of_an_unknown_or_full_root_zone(deficit: float | None) -> None:
    assert refill_amount({"water_deficit": deficit}, 100.0, "us", ()) is None
    assert refill_amount({}, 100.0, "us", ()) is None


def test_only_the_sprinklers_of_the_area_count() -> None:
    zones = [
        Zone(name="a", areas=("front",), precipitation_rate=12.0),
        Zone(name="b", areas=("back",), precipitation_rate=8.0),
        Zone(name="c", areas=None, precipitation_rate=10.0),
        Zone(name="d", areas=("front",), precipitation_rate=None),
    ]
    site = cast(Site, SimpleNamespace(water=Water(zones=zones)))
    assert sprinkler_rates(site, ("front",)) == (10.0, 12.0)
    assert sprinkler_rates(site, ()) == (8.0, 10.0, 12.0)
