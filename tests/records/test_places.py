"""Plausible places, against the principal locations of the IANA time zone database.

zone.tab (of the tzdata package) gives each zone's country, latitude and longitude: 418 real places
of which not one may be refused.
"""

from __future__ import annotations

import datetime as dt
import re
from importlib.resources import files

import pytest

from advisor.base.strict_yaml import load_text
from advisor.records.place_checks import place_problems

TODAY = dt.date(2026, 9, 16)


def _degrees(text: str) -> float:
    """`-0725` or `+404251` as degrees: the minutes take two places, seconds two more."""
    whole = len(text) - (5 if len(text) > 6 else 3)
    sign, figures = (-1 if text[0] == "-" else 1), text[1:]
    seconds = figures[whole + 2 :] or "0"
    return sign * (
        int(figures[:whole]) + int(figures[whole : whole + 2]) / 60 + int(seconds) / 3600
    )


def _real_places() -> list[tuple[str, str, float, float]]:
    table = files("tzdata").joinpath("zoneinfo", "zone.tab").read_text(encoding="utf-8")
    places = []
    for line in table.splitlines():
        if line.startswith("#"):
            continue
        country, where, zone = line.split("\t")[:3]
        found = re.match(r"([+-]\d+)([+-]\d+)", where)
        assert found
        places.append((zone, country, _degrees(found[1]), _degrees(found[2])))
    return places


def told(place: str) -> list[str]:
    document = load_text(f"place: {{{place}}}", "f")
    return [problem.what for problem in place_problems(document, TODAY)]


def test_degrees_are_read_right() -> None:
    # New York in zone.tab is +404251-0740023.
    assert _degrees("+404251") == pytest.approx(40.7142, abs=1e-4)
    assert _degrees("-0740023") == pytest.approx(-74.0064, abs=1e-4)
    assert _degrees("-4330") == -43.5
    assert _degrees("+17245") == 172.75


def test_no_real_place_is_refused() -> None:
    places = _real_places()
    assert len(places) > 400
    for zone, country, latitude, longitude in places:
        place = f"latitude: {latitude:.3f}, longitude: {longitude:.3f}, "
        assert told(f"{place}time_zone: {zone}, country: {country}") == []


def test_a_wrong_sign_is_noticed_by_the_zone_alone() -> None:
    """Where the sign moves a place by more than eight hours of sun, the zone must tell."""
    for zone, _, latitude, longitude in _real_places():
        if 65 < abs(longitude) < 115:
            place = f"latitude: {latitude:.3f}, longitude: {-longitude:.3f}, time_zone: {zone}"
            assert len(told(place)) == 1


@pytest.mark.parametrize(
    ("subdivision", "latitude", "longitude"),
    [("GU", 13.47, 144.75), ("MP", 15.2, 145.75), ("AS", -14.27, -170.7)],
)
def test_parts_of_the_states_beyond_the_line(
    subdivision: str, latitude: float, longitude: float
) -> None:
    place = f"latitude: {latitude}, longitude: {longitude}, country: US"
    assert told(f"{place}, subdivision: {subdivision}") == []
    assert len(told(f"{place}, subdivision: OH")) == 1


def test_zones_without_a_place_are_not_compared() -> None:
    assert told("latitude: 41.1, longitude: 140, time_zone: UTC") == []
    assert told("latitude: 41.1, longitude: 140, time_zone: Etc/GMT+5") == []


def test_one_slip_is_told_once() -> None:
    place = "latitude: 41.1, longitude: 81.6, time_zone: America/New_York, country: US"
    assert told(place) == ["longitude 81.6 lies east, but US lies west; write -81.6"]


def test_the_edges_of_the_globe() -> None:
    assert told("latitude: 90, longitude: -180") == []
    assert told("latitude: -90, longitude: 180") == []
    assert told("latitude: 90.1, longitude: 180.1") == [
        "latitude must lie between -90 and 90 degrees; found 90.1",
        "longitude must lie between -180 and 180 degrees; found 180.1",
    ]
