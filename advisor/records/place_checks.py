"""Does a place hang together? Latitude, longitude, country and time zone checked on each other.

Country codes: ISO 3166-1, as listed beside the IANA time zone database.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import cache
from importlib.resources import files
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

from advisor.base.problems import Problem, did_you_mean
from advisor.base.strict_yaml import Document

# Sign of latitude and of longitude all over a country (its territories with codes of their own
# left out); 0 where both occur. Only countries that lie wholly on one side.
_SIDES = {
    "US": (1, -1), "CA": (1, -1), "MX": (1, -1), "IE": (1, -1), "PT": (1, -1), "GB": (1, 0),
    "FR": (1, 0), "ES": (1, 0), "DE": (1, 1), "NL": (1, 1), "BE": (1, 1), "CH": (1, 1),
    "AT": (1, 1), "IT": (1, 1), "DK": (1, 1), "SE": (1, 1), "FI": (1, 1), "PL": (1, 1),
    "CZ": (1, 1), "JP": (1, 1), "KR": (1, 1), "CN": (1, 1), "IN": (1, 1), "AU": (-1, 1),
    "ZA": (-1, 1), "NZ": (-1, 0), "AR": (-1, -1), "CL": (-1, -1), "UY": (-1, -1),
}  # fmt: skip
# These parts of the United States do not lie north and west.
_ELSEWHERE = {"US-GU", "US-MP", "US-AS"}
# Civil time runs ahead of the sun by up to about three hours (western China), never by this much.
_WIDEST_HOURS = 4.0
_AS_CODE = {"UK": "GB", "USA": "US", "U.S.": "US"}
_PLACE = ("place",)


def place_problems(document: Document, today: dt.date) -> Iterator[Problem]:
    """Everything implausible about the section `place`; what is missing is passed over."""
    place = document.data.get("place")
    if not isinstance(place, dict):
        return
    latitude, longitude = _degrees(place.get("latitude"), 90), _degrees(place.get("longitude"), 180)
    zone, country = place.get("time_zone"), place.get("country")
    yield from _country_problems(document, country)
    yield from _zone_name_problems(document, zone)
    # One slip upsets several of these at once, so only the plainest is told.
    for position in (
        _range_problems(document, place),
        _side_problems(document, place, latitude, longitude),
        _zone_position_problems(document, zone, longitude, today),
    ):
        found = list(position)
        yield from found
        if found:
            return


def _degrees(value: Any, limit: int | None) -> float | None:
    """The number, if it is one and not beyond the limit."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return None
    return value if limit is None or abs(value) <= limit else None


def _range_problems(document: Document, place: dict[str, Any]) -> Iterator[Problem]:
    latitude, longitude = _degrees(place.get("latitude"), 180), _degrees(place.get("longitude"), 90)
    if latitude is not None and longitude is not None and abs(latitude) > 90:
        what = f"latitude {latitude:g} and longitude {longitude:g} look swapped; exchange them"
        yield Problem(document.place((*_PLACE, "latitude")), what)
        return
    for name, limit in (("latitude", 90), ("longitude", 180)):
        value = _degrees(place.get(name), None)
        if value is not None and abs(value) > limit:
            what = f"{name} must lie between -{limit} and {limit} degrees; found {value:g}"
            yield Problem(document.place((*_PLACE, name)), what)


def _zone_name_problems(document: Document, zone: Any) -> Iterator[Problem]:
    if isinstance(zone, str) and zone and zone not in _zones():
        placed = [name for name in _zones() if "/" in name]
        near = did_you_mean(zone, sorted(placed)) or "; wanted one such as America/New_York"
        yield Problem(document.place((*_PLACE, "time_zone")), f"'{zone}' is no time zone{near}")


def _zone_position_problems(
    document: Document, zone: Any, longitude: float | None, today: dt.date
) -> Iterator[Problem]:
    placeless = not isinstance(zone, str) or zone.startswith("Etc/") or "/" not in zone
    if longitude is None or placeless or zone not in _zones():
        return
    offset = _standard_hours(zone, today)
    if abs((offset - longitude / 15 + 12) % 24 - 12) > _WIDEST_HOURS:
        what = (
            f"longitude {longitude:g} does not lie in time zone {zone} (UTC{offset:+g}); "
            "check its sign (west is negative) and the zone"
        )
        yield Problem(document.place((*_PLACE, "longitude")), what)


def _standard_hours(zone: str, today: dt.date) -> float:
    """Hours ahead of UTC outside summer time, which is the lesser of January and July."""
    days = (dt.datetime(today.year, month, 1, tzinfo=ZoneInfo(zone)) for month in (1, 7))
    offsets = [day.utcoffset() or dt.timedelta(0) for day in days]
    return min(offsets).total_seconds() / 3600


def _country_problems(document: Document, country: Any) -> Iterator[Problem]:
    if isinstance(country, str) and country and country not in _countries():
        code = _AS_CODE.get(country.upper(), country.upper())
        hint = f", did you mean '{code}'?" if code in _countries() else "; such as US, CA or GB"
        what = f"'{country}' is no two-letter country code of ISO 3166{hint}"
        yield Problem(document.place((*_PLACE, "country")), what)


def _side_problems(
    document: Document, place: dict[str, Any], latitude: float | None, longitude: float | None
) -> Iterator[Problem]:
    country = str(place.get("country"))
    if f"{country}-{place.get('subdivision')}" in _ELSEWHERE:
        return
    north, east = _SIDES.get(country, (0, 0))
    wrong = [
        (
            name,
            value,
            f"{name} {value:g} lies {names[value < 0]}, but {country} lies {names[side < 0]}",
        )
        for name, value, side, names in (
            ("latitude", latitude, north, ("north", "south")),
            ("longitude", longitude, east, ("east", "west")),
        )
        if value is not None and value * side < 0
    ]
    if len(wrong) == 2:
        what = f"latitude {latitude:g} and longitude {longitude:g} do not lie in {country}; "
        yield Problem(
            document.place((*_PLACE, "latitude")), f"{what}they look swapped, exchange them"
        )
        return
    for name, value, what in wrong:
        yield Problem(document.place((*_PLACE, name)), f"{what}; write {-value:g}")


@cache
def _zones() -> frozenset[str]:
    return frozenset(available_timezones())


@cache
def _countries() -> frozenset[str]:
    table = files("tzdata").joinpath("zoneinfo", "iso3166.tab").read_text(encoding="utf-8")
    return frozenset(line[:2] for line in table.splitlines() if not line.startswith("#"))
