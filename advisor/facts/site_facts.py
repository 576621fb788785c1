"""Facts from the site file and the grass file: they change only when the keeper edits them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from advisor.facts.fact import Fact, Value
from advisor.site.record import Site


def site_facts(site: Site, traits: Mapping[str, str], on: dt.date) -> dict[str, Fact]:
    """What is stated about the lawn; traits are those of its grass."""
    age = None if site.sown_on is None else float((on - site.sown_on).days)
    country = site.place.country
    stated: dict[str, Value | None] = {
        "in_united_states": None if country is None else country == "US",
        "irrigated": site.water.irrigated,
        "can_water_seed": site.water.can_water_seed,
        "stand_age": age if age is None or age >= 0 else None,
        **traits,
    }
    return {
        name: Fact(name, value, "stated", None, "" if value is not None else "not in site.yaml")
        for name, value in stated.items()
    }
