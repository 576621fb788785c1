"""From what a keeper types to places: a town, a postcode, or latitude and longitude."""

from __future__ import annotations

import re

from advisor.base.problems import BadInput, Place, did_you_mean
from advisor.places.around import around
from advisor.places.distance import distance_km
from advisor.places.gazetteer import names_like, towns_named
from advisor.places.postcodes import COUNTRIES, is_british, looks_like_postcode, postcodes
from advisor.places.regions import (
    Region,
    country_name,
    lies_in,
    region_hint,
    region_name,
    regions_named,
)
from advisor.places.town import Spot, Town

_NUMBER = r"([-+−]?\d+(?:\.\d+)?)\s*°?\s*"
_DECIMAL_COMMAS = re.compile(r"([-+−]?\d+),(\d+)(?: ?; ?| )([-+−]?\d+),(\d+)")
_DEGREES = re.compile(rf"{_NUMBER}([NS]?)(?:\s*[,;]\s*|\s+){_NUMBER}([EW]?)", re.IGNORECASE)
# A code that is certain enough to stand after the town it belongs to.
_ZIP_AFTER = re.compile(r"(.*\S)[ ,]+(\d{5}(?:-\d{4})?|[A-Za-z]\d[A-Za-z] ?\d[A-Za-z]\d)")
# Entries of one name and region this near each other are one town.
_SAME_KM = 15.0
_WANTED = "wanted a town such as 'Springfield, IL', a postcode, or latitude and longitude"


def locate(text: str) -> tuple[Spot, ...]:
    """The places the text can mean, largest first: one if it is plain, several to choose from.

    Towns may be followed by a state, province or country, by name or code, with or without a comma.
    Raises `BadInput` if nothing of that name is known, or if the degrees lie off the globe.
    """
    plain = " ".join(text.split())
    if found := _DEGREES.fullmatch(_DECIMAL_COMMAS.sub(r"\1.\2 \3.\4", plain)):
        return (_at_degrees(found),)
    if found := _ZIP_AFTER.fullmatch(plain):
        by_code = _by_postcode(found[2], frozenset())
        if by_code:
            return by_code
    return _named(plain)


def _wrong(text: str, why: str) -> BadInput:
    return BadInput.at(Place("the place"), f"'{text}' {why}")


def _at_degrees(found: re.Match[str]) -> Spot:
    latitude, longitude = (
        float(number.replace("−", "-")) * (-1 if side.upper() in ("S", "W") else 1)
        for number, side in ((found[1], found[2]), (found[3], found[4]))
    )
    if abs(latitude) > 90 and abs(longitude) <= 90:
        raise _wrong(found[0], "has the latitude second; write it first")
    if abs(latitude) > 90 or abs(longitude) > 180:
        what = "lies off the globe; latitude runs from -90 to 90, longitude from -180 to 180"
        raise _wrong(found[0], what)
    return around(latitude, longitude, "coordinates")


def _named(text: str) -> tuple[Spot, ...]:
    """A town or postcode, the region split off at a comma or, failing that, word by word."""
    body, *parts = (part.strip() for part in text.split(","))
    wanted: frozenset[Region] = frozenset()
    for part in reversed([part for part in parts if part]):
        regions = regions_named(part)
        if not regions:
            what = region_hint(part) or "; write it in full, or its two-letter code"
            raise _wrong(part, f"is no country, state or province known here{what}")
        wanted = _narrowed(wanted, regions)
    words, rest = body.split(), wanted
    while words:
        found = _by_postcode(" ".join(words), rest) or _by_name(" ".join(words), rest)
        if found:
            return found
        split = _split_region(words)
        if split is None:
            break
        words, regions = split
        rest = _narrowed(rest, regions)
    raise _not_found(text, body, wanted)


def _split_region(words: list[str]) -> tuple[list[str], frozenset[Region]] | None:
    """The words without the longest region at their end, and that region."""
    for start in range(max(1, len(words) - 4), len(words)):
        regions = regions_named(" ".join(words[start:]))
        if regions:
            return words[:start], regions
    return None


def _narrowed(wider: frozenset[Region], regions: frozenset[Region]) -> frozenset[Region]:
    """The regions that lie in the wider ones, if any do; `CA` is not Canada in `CA, USA`."""
    return frozenset(region for region in regions if lies_in(region, wider)) or regions


def _by_postcode(text: str, wanted: frozenset[Region]) -> tuple[Spot, ...]:
    found = [
        around(code.latitude, code.longitude, "postcode", code.country, code.subdivision)
        for code in postcodes(text)
        if not wanted or lies_in((code.country, code.subdivision), wanted)
    ]
    return tuple(sorted(found, key=lambda spot: -spot.population))


def _by_name(name: str, wanted: frozenset[Region]) -> tuple[Spot, ...]:
    kept: list[Town] = []
    for town in towns_named(name):
        inside = not wanted or lies_in((town.country, town.subdivision), wanted)
        if inside and not any(_same(town, other) for other in kept):
            kept.append(town)
    return tuple(
        Spot(
            town.latitude,
            town.longitude,
            "town",
            town.name,
            town.elevation,
            town.time_zone,
            town.country,
            town.subdivision,
            town.population,
        )
        for town in kept
    )


def _same(town: Town, other: Town) -> bool:
    apart = distance_km(town.latitude, town.longitude, other.latitude, other.longitude)
    return apart < _SAME_KM and (town.country, town.subdivision) == (
        other.country,
        other.subdivision,
    )


def _not_found(text: str, body: str, wanted: frozenset[Region]) -> BadInput:
    if is_british(body):
        what = "has the form of a British postcode, and those are not in the gazetteer; "
        return _wrong(text, f"{what}write the town, such as 'Norwich UK'")
    if looks_like_postcode(body):
        names = ", ".join(country_name(code) for code in COUNTRIES)
        return _wrong(
            text, f"is no postcode of the gazetteer (it has those of: {names}); write the town"
        )
    there = " or ".join(sorted({region_name(region) for region in wanted}))
    countries = {country for country, _ in wanted}
    near = did_you_mean(body, names_like(body, countries)) or f"; {_WANTED}"
    return _wrong(text, f"is no town known{f' in {there}' if there else ''}{near}")
