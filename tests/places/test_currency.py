"""The money of a country, against the data of Unicode CLDR as Babel carries them."""

from __future__ import annotations

import pytest
from babel.numbers import get_territory_currencies, list_currencies

from advisor.places.regions import currencies


@pytest.mark.parametrize("country", ["US", "CA", "GB", "IE", "DE", "NO", "NZ", "AU", "ZA", "JP"])
def test_the_legal_tender_of_a_country(country: str) -> None:
    assert currencies()[country] in get_territory_currencies(country, tender=True)


def test_every_code_is_a_currency() -> None:
    assert set(currencies().values()) <= list_currencies()
    assert len(currencies()) > 240
