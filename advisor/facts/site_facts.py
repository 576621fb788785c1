"""Facts from the site file and the grass file: they change only when the keeper edits them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from advisor.facts.fact import Fact, Value
from advisor.site.record import Site

RYEGRASS = "perennial_ryegrass"


def site_facts(
    site: Site, traits: Mapping[str, str], on: dt.date, area: str | None = None
) -> dict[str, Fact]:
    """What is stated about an area (None: the whole lawn); traits are those of its grass."""
    age = None if site.sown_on is None else float((on - site.sown_on).days)
    country = site.place.country
    stated: dict[str, Value | None] = {
        "in_united_states": None if country is None else country == "US",
        "irrigated": site.water.irrigated,
        "can_water_seed": site.water.can_water_seed,
        "stand_age": age if age is None or age >= 0 else None,
        "sun": _sun(site, area),
        "ryegrass_share": _share(site, RYEGRASS, area),
        **traits,
    }
    return {
        name: Fact(name, value, "stated", None, "" if value is not None else "not in site.yaml")
        for name, value in stated.items()
    }


def _sun(site: Site, area: str | None) -> str | None:
    """How much sun an area gets; of the whole lawn only what all its areas have in common."""
    areas = [site.area(area)] if area else site.areas
    told = {part.sun for part in areas}
    return next(iter(told)) if len(told) == 1 else None


def _share(site: Site, grass: str, area: str | None) -> float | None:
    """The share of a grass in the stand: 0 if it is not named, None if its share is not."""
    stand = site.stand_of(area)
    shares = [part.share for part in stand if part.grass == grass]
    if not shares:
        return 0.0
    if len(stand) == 1:
        return 1.0
    return shares[0]
